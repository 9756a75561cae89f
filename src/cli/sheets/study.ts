/** The sheet of `standstill study show`: how far the study is, and its best variants. */

import { CAUTIONS, countText, quantityText } from '../../analysis/index.js';
import type { Study, VariantProof, VariantRow } from '../../studies/index.js';
import { findingIds, optionsOf, variantCount } from '../../studies/index.js';
import type { UnitSystem } from '../../units/index.js';
import { markOf, toneOf } from '../marks.js';
import type { Line, Page, Span } from '../page.js';
import type { Cell, Column } from '../sheet.js';
import {
  BLANK,
  cautionLines,
  labelled,
  paragraph,
  quantityCells,
  rule,
  section,
  span,
  spread,
  table,
} from '../sheet.js';
import type { StudyState } from '../study-state.js';

export interface StudySheet {
  readonly state: StudyState;
  /** the file, or what else holds the results */
  readonly place: string;
  readonly units: UnitSystem;
}

const LABELS = { indent: 2, label: 12 };

export function studySheet(page: Page, sheet: StudySheet): Line[] {
  const { state, place, units } = sheet;
  const { study } = state;
  const rows = shownRows(state);
  const proofs = new Map(state.proofs.map((proof) => [proof.index, proof]));
  return [
    ...spread(page, study.name, 'strong', [verdictOf(page, state)]),
    ...paragraph(page, place, 0, 'quiet'),
    rule(page),
    ...factLines(page, sheet),
    ...section(page, 'Best variants', bestTable(page, { rows, proofs, sheet })),
    ...section(page, 'What they are', optionTable(page, rows, state)),
    ...section(page, 'What stops the others', governingTable(page, state)),
    ...nearestLines(page, state, units),
    ...cautionLines(page, CAUTIONS),
  ];
}

function verdictOf(page: Page, { finished, summary, proofs }: StudyState): Span {
  const word = (verdict: 'holds' | 'fails' | 'not decided', text: string): Span => ({
    text: `${markOf(page, verdict)} ${text}`,
    tone: toneOf(verdict),
  });
  if (!finished) return word('not decided', 'not finished');
  if (summary.passing === 0) return word('fails', 'none passes');
  const proven = proofs.filter(({ passes }) => passes).length;
  return proven > 0
    ? word('holds', `${proven} proven to pass`)
    : word('not decided', 'none proven to pass');
}

/** Those chosen for a proof; until they are chosen, the best so far as far as a sheet holds them. */
const MOST_SHOWN = 20;

function shownRows({ summary, chosen }: StudyState): readonly VariantRow[] {
  if (chosen === null) return summary.front.slice(0, MOST_SHOWN);
  return summary.front.filter(({ index }) => chosen.includes(index));
}

function factLines(page: Page, { state }: StudySheet): Line[] {
  const { study, summary, chosen, proofs } = state;
  const count = variantCount(study);
  const factors = study.factors.map(({ name, options }) => `${name} ${options.length}`).join(' × ');
  const asked = findingIds(study).length;
  const all = study.only === null ? 'every finding' : `${asked} of the findings`;
  const wanted = study.aims.map(({ wanted: most, of }) => `${most} ${of}`).join(', ');
  const left = count - summary.rows;
  return [
    ...labelled(page, 'cart', study.cart.name, LABELS),
    ...labelled(
      page,
      'varies',
      `${factors} = ${countText(count)} variant${count === 1 ? '' : 's'}`,
      LABELS,
    ),
    ...labelled(
      page,
      'asked',
      `${all} of ${study.requirementSet.id}, with ${percent(study.margin)} on top, at the low end of friction`,
      LABELS,
    ),
    ...labelled(page, 'wanted', wanted, LABELS),
    ...labelled(
      page,
      'screened',
      left === 0
        ? `all: ${countText(summary.passing)} pass${faultText(summary.faults)}`
        : `${countText(summary.rows)}: ${countText(summary.passing)} pass${faultText(summary.faults)}; ${countText(left)} are left: run the study again to go on`,
      LABELS,
    ),
    ...labelled(page, 'best', bestText(state), LABELS),
    ...(chosen === null || proofs.length === chosen.length
      ? []
      : labelled(
          page,
          'proven',
          `${proofs.length} of ${chosen.length} so far: run the study again to go on`,
          LABELS,
        )),
    ...(summary.fault === null
      ? []
      : labelled(
          page,
          'fault',
          `variant ${summary.fault.index}: ${summary.fault.fault ?? ''}`,
          LABELS,
          'bad',
        )),
  ];
}

function faultText(faults: number): string {
  return faults === 0 ? '' : `, ${countText(faults)} could not be computed`;
}

function bestText({ summary, chosen }: StudyState): string {
  const { length } = summary.front;
  if (length === 0) return 'none so far';
  const best =
    length === 1
      ? '1 variant that no other beats'
      : `${countText(length)} variants, none of which beats another in everything wanted`;
  if (chosen === null) return length > MOST_SHOWN ? `${best}; ${MOST_SHOWN} are shown` : best;
  return chosen.length < length
    ? `${best}; ${chosen.length} of them, far apart, are proven and shown`
    : best;
}

interface BestRows {
  readonly rows: readonly VariantRow[];
  readonly proofs: ReadonlyMap<number, VariantProof>;
  readonly sheet: StudySheet;
}

function bestTable(page: Page, { rows, proofs, sheet }: BestRows): Line[] {
  if (rows.length === 0) return [];
  const { state, units } = sheet;
  const { study } = state;
  const columns: Column[] = [
    { heading: 'variant', align: 'right' },
    { heading: 'mass', align: 'right' },
  ];
  const cells: Cell[][] = [
    rows.map(({ index }) => [span(page, String(index), 'strong')]),
    quantityCells(
      page,
      rows.map(({ mass }) => mass),
      'mass',
      units,
    ),
  ];
  for (const side of sidesShown(study)) {
    columns.push({ heading: side, align: 'right' });
    const sizes = rows.map((row) => row[side]);
    cells.push(quantityCells(page, sizes, 'length', units));
  }
  if (rows.some(({ cost }) => cost !== null)) {
    columns.push({ heading: `cost ${study.currency}`.trim(), align: 'right' });
    cells.push(rows.map(({ cost }) => [span(page, cost === null ? '-' : cost.toFixed(2))]));
  }
  columns.push(
    { heading: 'margin', align: 'right' },
    { heading: 'proven', align: 'right' },
    { heading: 'governs', align: 'left' },
  );
  cells.push(
    rows.map(({ reserve }) => [span(page, marginText(reserve))]),
    rows.map(({ index }) => proofCell(page, proofs.get(index))),
    rows.map(({ index, governs }) => [span(page, proofs.get(index)?.governs ?? governs)]),
  );
  const byRow = rows.map((_, r) => cells.map((column) => column[r] ?? []));
  return table(page, columns, byRow, columns.length - 1);
}

/** Those that are wanted small or large; where none is, both. */
function sidesShown({ aims }: Study): readonly ('width' | 'length')[] {
  const sides = ['width', 'length'] as const;
  const wanted = sides.filter((side) => aims.some(({ of }) => of === side));
  return wanted.length === 0 ? sides : wanted;
}

function proofCell(page: Page, proof: VariantProof | undefined): Cell {
  if (proof === undefined) return [span(page, '-', 'quiet')];
  const verdict = proof.passes ? 'holds' : 'not decided';
  const text = proof.reserve === null ? 'not proven' : marginText(proof.reserve);
  return [{ text: `${markOf(page, verdict)} ${page.show(text)}`, tone: toneOf(verdict) }];
}

/** '+41.3 %': what is there on top of what is asked. */
export function marginText(reserve: number | null): string {
  if (reserve === null) return '-';
  if (reserve === Number.POSITIVE_INFINITY) return 'unlimited';
  const share = (reserve - 1) * 100;
  // rounded down: +9.96 % is not +10.0 %
  const text = (Math.floor(share * 10 + ROUNDING) / 10).toFixed(1);
  return `${share < 0 ? '' : '+'}${text} %`;
}

/** In tenths of a per cent: what binary fractions leave of a margin that is exact in decimals. */
const ROUNDING = 1e-6;

function percent(share: number): string {
  return `${Number((share * 100).toPrecision(6))} %`;
}

function optionTable(page: Page, rows: readonly VariantRow[], { study }: StudyState): Line[] {
  if (rows.length === 0) return [];
  const columns: Column[] = [
    { heading: 'variant', align: 'right' },
    ...study.factors.map(({ name }): Column => ({ heading: name, align: 'left' })),
  ];
  const cells = rows.map(({ index }) => [
    [span(page, String(index), 'strong')],
    ...optionsOf(study, index).map(({ label }) => [span(page, label)]),
  ]);
  return table(page, columns, cells, 1);
}

function governingTable(page: Page, { summary, study }: StudyState): Line[] {
  const titles = new Map(study.requirementSet.clauses.map(({ id, title }) => [id, title]));
  const rows = summary.governing.map(({ id, variants }) => [
    [span(page, countText(variants))],
    [span(page, id)],
    [span(page, titles.get(id) ?? '', 'quiet')],
  ]);
  const columns: Column[] = [
    { heading: 'variants', align: 'right' },
    { heading: 'finding', align: 'left' },
    { heading: '', align: 'left' },
  ];
  return rows.length === 0 ? [] : table(page, columns, rows, 2);
}

/** Where nothing passes: which variant comes nearest. */
function nearestLines(page: Page, { summary, study }: StudyState, units: UnitSystem): Line[] {
  const { nearest } = summary;
  if (nearest === null || summary.passing > 0) return [];
  const options = optionsOf(study, nearest.index)
    .map(({ label }, i) => `${study.factors[i]?.name}: ${label}`)
    .join('; ');
  const size = `${quantityText(nearest.mass, 'mass', units)}, ${quantityText(nearest.width, 'length', units)} wide`;
  const words = `Nearest is variant ${nearest.index}: margin ${marginText(nearest.reserve)} where ${percent(study.margin)} is asked, ${nearest.governs} governs; ${size}; ${options}.`;
  return [BLANK, ...paragraph(page, words)];
}
