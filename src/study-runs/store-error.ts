/** Why a place for results cannot be used; the message names the place and what is allowed. */

export type StoreProblem =
  | 'cannot be opened'
  | 'not a database'
  | 'not ours'
  | 'other version'
  | 'other program'
  | 'other study'
  | 'no study'
  | 'no right'
  | 'locked';

export class StudyStoreError extends Error {
  override readonly name = 'StudyStoreError';
  readonly problem: StoreProblem;

  constructor(problem: StoreProblem, message: string, options?: ErrorOptions) {
    super(message, options);
    this.problem = problem;
  }
}
