/** The body of a change: JSON of the right shape, no larger than it can be. */

import type { Context } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import { z } from 'zod';
import { CART_FILE_LIMITS, MAX_INPUT_BYTES } from '../document/index.js';
import type { SaveCart, SaveDraft, SavePartsList } from './api.js';
import { Problem } from './problem.js';
import { textIn } from './utf8-text.js';

/** Room for the other fields of a body. */
const FRAME = 4096;

/** JSON writes a byte of a text with six at most (a control character as \u0001). */
export const MOST_TEXT_BODY = 6 * CART_FILE_LIMITS.bytes + FRAME;
/** Base64 writes three bytes with four. */
export const MOST_LIST_BODY = Math.ceil(MAX_INPUT_BYTES / 3) * 4 + FRAME;

/** Bytes: a plan of some hundred runs takes a tenth of it. */
export const MOST_ENTRIES_BODY = 16 * 1024 * 1024;

export function atMost(bytes: number) {
  return bodyLimit({
    maxSize: bytes,
    onError: () => {
      throw new Problem('too large', `The body is too large; allowed: at most ${bytes} bytes`);
    },
  });
}

const version = z.string().regex(/^[0-9a-f]{64}$/);
const name = z.string().max(1000);

const textBody = z.strictObject({ name, text: z.string(), base: version.nullable() });
const listBody = z.strictObject({ name, base64: z.string(), base: version.nullable() });
/** Far more than a page sends at once; each gets an answer, and that may be longer than itself. */
export const MOST_ENTRIES = 1000;

const entriesBody = z.strictObject({ entries: z.array(z.unknown()).max(MOST_ENTRIES) });
const WITH_BASE = 'base a version or null';

export async function textBodyOf(context: Context): Promise<SaveCart & SaveDraft> {
  return bodyOf(context, textBody, `{name, text, base}, ${WITH_BASE}`);
}

export async function listBodyOf(context: Context): Promise<SavePartsList> {
  return bodyOf(context, listBody, `{name, base64, base}, ${WITH_BASE}`);
}

/** What each of them says is not looked at yet. */
export async function entriesBodyOf(context: Context): Promise<readonly unknown[]> {
  return (await bodyOf(context, entriesBody, `{entries}, a list of at most ${MOST_ENTRIES}`))
    .entries;
}

async function bodyOf<T>(context: Context, shape: z.ZodType<T>, words: string): Promise<T> {
  const text = textIn(new Uint8Array(await context.req.arrayBuffer()));
  const read = text === null ? null : shape.safeParse(jsonOf(text));
  if (read?.success) return read.data;
  const place = read?.error.issues[0]?.path.join('.') ?? '';
  const where = place === '' ? 'The body' : `The field ${place} of the body`;
  throw new Problem(
    'bad request',
    `${where} is not as it has to be; allowed: JSON in UTF-8, ${words}`,
  );
}

function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

/** @throws Problem when it is no base64, or not the one way to write its bytes */
export function bytesOfBase64(base64: string, file: string): Uint8Array {
  const bytes = Buffer.from(base64, 'base64');
  if (bytes.toString('base64') === base64) return bytes;
  throw new Problem('bad request', `${file}: the field base64 of the body is not base64`);
}
