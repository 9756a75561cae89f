/** Probability that a finding passes, with the interval that the number of trials leaves. */
export interface PassProbability {
  readonly value: number;
  readonly from: number;
  readonly to: number;
}
