/**
 * A study as CSV (RFC 4180): one row a variant, numbers in SI with their units in the headings.
 * Memory stays flat whatever the study holds.
 */

import { createWriteStream } from 'node:fs';
import { rm } from 'node:fs/promises';
import type { Readable, Writable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { stringify } from 'csv-stringify';
import type { Study, VariantProof, VariantRow } from '../studies/index.js';
import { findingIds, frontOf, optionsOf } from '../studies/index.js';
import type { StudyStore } from './store.js';

export interface CsvWishes {
  /** 'all': every variant; 'front': the best of those that pass */
  readonly variants: 'all' | 'front';
}

type Field = string | number | null;

/**
 * Writes to a file that is not there yet; what was written of it is taken away when that fails.
 *
 * @returns how many variants
 * @throws the error of the file system, or of the database
 */
export async function writeStudyCsv(
  store: StudyStore,
  file: string,
  wishes: CsvWishes,
): Promise<number> {
  const out = createWriteStream(file, { flags: 'wx' });
  let opened = false;
  out.once('open', () => {
    opened = true;
  });
  try {
    return await streamStudyCsv(store, out, wishes);
  } catch (error) {
    if (opened) await rm(file, { force: true });
    throw error;
  }
}

/** The same into any stream, which is ended. */
export async function streamStudyCsv(
  store: StudyStore,
  out: Writable,
  { variants }: CsvWishes,
): Promise<number> {
  const { study } = store;
  const rows = variants === 'all' ? store.rows() : await frontOf(study, store.rows());
  const proofs = new Map((await store.proofs()).map((proof) => [proof.index, proof]));
  let count = 0;
  async function* records(): AsyncGenerator<Field[]> {
    yield headings(study);
    for await (const row of rows) {
      count += 1;
      yield record(study, row, proofs.get(row.index) ?? null);
    }
  }
  // A label such as =1+1 would be computed by a spreadsheet: text of that kind gets an apostrophe.
  const csv = stringify({ record_delimiter: 'windows', escape_formulas: true });
  await pipeline(records, csv as Writable & Readable, out);
  return count;
}

function headings(study: Study): string[] {
  const money = study.currency === '' ? '' : ` [${study.currency}]`;
  return [
    'variant',
    ...study.factors.map(({ name }) => name),
    'mass [kg]',
    'width [m]',
    'length [m]',
    `cost${money}`,
    'passes',
    'margin',
    'governs',
    'proven to pass',
    'proven margin',
    'proven governs',
    ...findingIds(study).map((id) => `reserve of ${id}`),
    'fault',
  ];
}

function record(study: Study, row: VariantRow, proof: VariantProof | null): Field[] {
  const isKnown = row.fault === null;
  return [
    row.index,
    ...optionsOf(study, row.index).map(({ label }) => label),
    isKnown ? figure(row.mass) : null,
    isKnown ? figure(row.width) : null,
    isKnown ? figure(row.length) : null,
    figure(row.cost),
    yesNo(row.passes),
    marginOf(row.reserve),
    row.governs,
    proof === null ? null : yesNo(proof.passes),
    proof === null ? null : marginOf(proof.reserve),
    proof === null ? null : proof.governs,
    ...row.reserves.map(figure),
    row.fault,
  ];
}

function yesNo(value: boolean): string {
  return value ? 'yes' : 'no';
}

/** Share of what is asked that is there on top. */
function marginOf(reserve: number | null): Field {
  return reserve === null ? null : figure(reserve - 1);
}

/** Beyond what any drawing or screening tells, and short of what rounding leaves. */
const DIGITS = 9;

function figure(value: number | null): Field {
  if (value === Number.POSITIVE_INFINITY) return 'unlimited';
  return value === null ? null : Number(value.toPrecision(DIGITS));
}
