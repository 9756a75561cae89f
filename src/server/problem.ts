/** Why something asked of the server is not done. */

import type { ProblemAnswer, ProblemCode } from './api.js';

/** HTTP status of each (RFC 9110 unless said otherwise). */
const STATUS = {
  'bad request': 400,
  'no key': 401,
  'not from here': 403,
  'outside the folder': 403,
  'read-only': 403,
  'not permitted': 403,
  'not there': 404,
  'no such method': 405,
  'changed on disk': 409,
  'too large': 413,
  'content type': 415,
  'not an ordinary file': 422,
  'not text': 422,
  fault: 500,
  busy: 503,
  records: 503,
  /** RFC 4918 */
  'no space': 507,
} as const satisfies Record<ProblemCode, number>;

export function statusOf(code: ProblemCode): (typeof STATUS)[ProblemCode] {
  return STATUS[code];
}

export class Problem extends Error {
  readonly code: ProblemCode;

  constructor(code: ProblemCode, problem: string) {
    super(problem);
    this.code = code;
  }

  answer(): ProblemAnswer {
    return { code: this.code, problem: this.message };
  }
}

const OF_SYSTEM: Readonly<Record<string, readonly [ProblemCode, string]>> = {
  ENOENT: ['not there', 'there is no such file'],
  ENOTDIR: ['not there', 'a part of its path is not a folder'],
  EISDIR: ['not an ordinary file', 'it is a folder; allowed: a file'],
  ENXIO: ['not an ordinary file', 'it is not an ordinary file'],
  ELOOP: ['not an ordinary file', 'it is a link to itself, or was changed into a link meanwhile'],
  ENAMETOOLONG: ['bad request', 'its name is too long'],
  EACCES: ['not permitted', 'permission denied'],
  EPERM: ['not permitted', 'not permitted'],
  EROFS: ['read-only', 'the file system is read-only'],
  ENOSPC: ['no space', 'no space is left on the device'],
  EDQUOT: ['no space', 'the space allowed to this user is used up'],
};

export function systemCodeOf(error: unknown): string {
  return error instanceof Error && 'code' in error ? String(error.code) : '';
}

/** An error of the file system in words; anything else is passed on as it is. */
export function problemOf(error: unknown, name: string): unknown {
  const known = OF_SYSTEM[systemCodeOf(error)];
  return known === undefined ? error : new Problem(known[0], `${name}: ${known[1]}`);
}
