/**
 * What is let in, decided from the first line and the headers of a request alone. The server listens on the
 * loopback interface; but every page that the user's browser shows can send requests there (so: own host
 * name, own origin, own page only), and so can every program and user of the machine (so: a key).
 */

import type { IncomingMessage } from 'node:http';
import type { ProblemCode } from './api.js';
import type { Keys } from './keys.js';

export type Admission =
  | { readonly kind: 'in' }
  /** the key was right: the browser gets its cookie and goes to the plain address */
  | { readonly kind: 'welcome' }
  | {
      readonly kind: 'refused';
      readonly status: number;
      readonly code: ProblemCode;
      readonly problem: string;
    };

/** A page of another origin cannot send it without asking first, and is then refused. */
export const OWN_HEADER = 'standstill-workbench';

const METHODS: readonly string[] = ['GET', 'HEAD', 'PUT', 'DELETE'];
const CHANGING: readonly string[] = ['PUT', 'DELETE', 'POST'];

/** The one thing that is posted: entries of a record, which may be sent again without harm. */
const POSTED = '/api/records/entries';
/** The one body that is no JSON, and looked at where it is taken: a file that a record names. */
const FILE = '/api/records/file';

export function admissionOf(request: IncomingMessage, port: number, keys: Keys): Admission {
  return (
    wrongPlace(request, port) ??
    wrongAsker(request) ??
    wrongMethod(request) ??
    (isWelcome(request, keys) ? { kind: 'welcome' } : null) ??
    (hasCookie(request, keys) ? wrongChange(request) : NO_KEY) ?? { kind: 'in' }
  );
}

function refused(status: number, code: ProblemCode, problem: string): Admission {
  return { kind: 'refused', status, code, problem };
}

const NO_KEY = refused(
  401,
  'no key',
  'This is the workbench of Standstill. It opens with the whole address that its command printed, key included. After a restart the key is another.',
);

/** The name of a server elsewhere may lead to this machine; what it asks for is not ours. */
function wrongPlace(
  { headersDistinct, url = '' }: IncomingMessage,
  port: number,
): Admission | null {
  const hosts = headersDistinct.host ?? [];
  const own = [`127.0.0.1:${port}`, `localhost:${port}`];
  if (hosts.length !== 1 || !own.includes((hosts[0] ?? '').toLowerCase())) {
    return refused(421, 'not from here', `This server answers for ${own.join(' and ')} only.`);
  }
  if (/^\/[\x21-\x7e]*$/.test(url) && !url.startsWith('//')) return null;
  return refused(400, 'bad request', 'The address asked for is not one of this server.');
}

/** What the browser says about the page that asks; programs that are no browser say nothing. */
function wrongAsker({ headersDistinct }: IncomingMessage): Admission | null {
  const own = `http://${(headersDistinct.host?.[0] ?? '').toLowerCase()}`;
  const origins = headersDistinct.origin ?? [];
  // pages of other ports of this machine are "same-site" and would send our cookie
  const sites = headersDistinct['sec-fetch-site'] ?? [];
  const isOwn =
    origins.every((each) => each === own) &&
    sites.every((each) => each === 'same-origin' || each === 'none');
  return isOwn ? null : refused(403, 'not from here', 'Only the page of this server may ask.');
}

function pathOf({ url = '' }: IncomingMessage): string {
  return url.split('?', 1)[0] ?? '';
}

function wrongMethod(request: IncomingMessage): Admission | null {
  const { method = '' } = request;
  if (METHODS.includes(method) || (method === 'POST' && pathOf(request) === POSTED)) return null;
  return refused(405, 'no such method', `Allowed are ${METHODS.join(', ')}.`);
}

function isWelcome({ method, url = '' }: IncomingMessage, keys: Keys): boolean {
  if (method !== 'GET' || !url.startsWith('/?')) return false;
  const key = new URLSearchParams(url.slice(2)).get('key');
  return key !== null && keys.isKey(key);
}

/** Any of that name: a server on another port of this machine can put one of its own beside ours. */
function hasCookie({ headers }: IncomingMessage, keys: Keys): boolean {
  const start = `${keys.cookieName}=`;
  const pairs = (headers.cookie ?? '').split(';').map((pair) => pair.trim());
  return pairs.some((pair) => pair.startsWith(start) && keys.isCookie(pair.slice(start.length)));
}

/** A form of another page could send neither the header nor this type. */
function wrongChange(request: IncomingMessage): Admission | null {
  const { method = '', headers } = request;
  if (!CHANGING.includes(method)) return null;
  if (headers[OWN_HEADER] !== '1') {
    return refused(403, 'not from here', `A change needs the header ${OWN_HEADER}: 1.`);
  }
  if (method === 'DELETE') return null;
  const type = headers['content-type'] ?? '';
  if (method === 'PUT' && pathOf(request) === FILE) return null;
  if (/^application\/json(?:;\s*charset=utf-8)?$/i.test(type)) return null;
  return refused(415, 'content type', 'The body has to be application/json.');
}
