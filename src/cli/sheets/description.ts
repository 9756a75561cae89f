/** The sheet of `standstill describe`: masses, centres of mass and castor loads, per position. */

import type {
  AssumedInput,
  CartDescription,
  CastorLoadRange,
  Dimension,
  PositionDescription,
} from '../../analysis/index.js';
import { quantityText } from '../../analysis/index.js';
import type { UnitSystem } from '../../units/index.js';
import type { Line, Page } from '../page.js';
import type { Cell } from '../sheet.js';
import {
  BLANK,
  cautionLines,
  labelled,
  paragraph,
  quantityCells,
  rule,
  section,
  span,
  table,
} from '../sheet.js';

export interface DescriptionSheet {
  readonly description: CartDescription;
  readonly units: UnitSystem;
}

const LABELS = { indent: 0, label: 17 };

const STATES = [
  { key: 'lightest', label: 'lightest' },
  { key: 'heaviest', label: 'heaviest' },
  { key: 'lowest', label: 'lowest centre' },
  { key: 'highest', label: 'highest centre' },
] as const;

const MASS_COLUMNS = [
  { heading: 'centre of mass', align: 'left' },
  { heading: 'mass', align: 'right' },
  { heading: 'weight', align: 'right' },
  { heading: 'x forward', align: 'right' },
  { heading: 'y left', align: 'right' },
  { heading: 'z up', align: 'right' },
] as const;

function massLines(page: Page, position: PositionDescription, units: UnitSystem): Line[] {
  const { least, most } = position.centreOfMassRange;
  const states = STATES.map(({ key }) => position[key]);
  const points = [...states.map((state) => state.centreOfMass), least, most];
  const column = (values: readonly number[], dimension: Dimension) =>
    quantityCells(page, values, dimension, units);
  const masses = column(
    states.map(({ mass }) => mass),
    'mass',
  );
  const weights = column(
    states.map(({ weight }) => weight),
    'force',
  );
  const axes = [0, 1, 2].map((axis) =>
    column(
      points.map((point) => point[axis] ?? 0),
      'length',
    ),
  );
  const labels = [
    ...STATES.map(({ label }) => span(page, label)),
    span(page, 'least of each', 'quiet'),
    span(page, 'most of each', 'quiet'),
  ];
  const rows = labels.map((label, i) => [
    [label],
    masses[i] ?? [],
    weights[i] ?? [],
    ...axes.map((axis) => axis[i] ?? []),
  ]);
  return [
    ...table(page, MASS_COLUMNS, rows, 0),
    BLANK,
    ...STATES.flatMap(({ key, label }) => labelled(page, label, position[key].words, LABELS)),
  ];
}

const CASTOR_COLUMNS = [
  { heading: 'castor', align: 'left' },
  { heading: 'least load', align: 'right' },
  { heading: 'most load', align: 'right' },
  { heading: 'rating', align: 'right' },
  { heading: 'used', align: 'right' },
] as const;

function usedCell(page: Page, { rating, most }: CastorLoadRange): Cell {
  if (rating === null) return [span(page, '-', 'quiet')];
  const used = `${Math.round((most / rating) * 100)} %`;
  return most > rating ? [span(page, `${used} over`, 'bad')] : [span(page, used)];
}

function castorRows(page: Page, castors: readonly CastorLoadRange[], units: UnitSystem): Cell[][] {
  const column = (values: readonly (number | null)[]) =>
    quantityCells(page, values, 'force', units);
  const least = column(castors.map((castor) => castor.least));
  const most = column(castors.map((castor) => castor.most));
  const rating = column(castors.map((castor) => castor.rating));
  return castors.map((castor, i) => [
    [span(page, castor.name)],
    least[i] ?? [],
    most[i] ?? [],
    castor.rating === null ? [span(page, 'not stated', 'quiet')] : (rating[i] ?? []),
    usedCell(page, castor),
  ]);
}

function castorLines(page: Page, castors: readonly CastorLoadRange[], units: UnitSystem): Line[] {
  const least = castors.reduce<CastorLoadRange | null>(
    (best, next) => (best === null || next.least < best.least ? next : best),
    null,
  );
  const most = castors.reduce<CastorLoadRange | null>(
    (best, next) => (best === null || next.most > best.most ? next : best),
    null,
  );
  const rows = castorRows(page, castors, units);
  return [
    ...table(page, CASTOR_COLUMNS, rows, 0),
    BLANK,
    ...(most === null
      ? []
      : labelled(page, 'most loaded', `${most.name}: ${most.mostWords}`, LABELS)),
    ...(least === null
      ? []
      : labelled(page, 'least loaded', `${least.name}: ${least.leastWords}`, LABELS)),
  ];
}

function positionLines(page: Page, position: PositionDescription, units: UnitSystem): Line[] {
  const kind = position.kind === 'transport' ? 'transport position' : 'position of normal use';
  const proof = position.proven ? 'extremes proven' : 'extremes sampled only';
  return [
    BLANK,
    [span(page, position.name, 'strong'), span(page, `  ${kind}, ${proof}`, 'quiet')],
    rule(page),
    ...massLines(page, position, units),
    BLANK,
    ...castorLines(page, position.castors, units),
  ];
}

function counted(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

function header(page: Page, { description, units }: DescriptionSheet): Line[] {
  const { parts, movers, loads, positions, greatestHeight } = description;
  const castors = positions[0]?.castors.length ?? 0;
  const counts = [
    counted(parts, 'part'),
    counted(movers, 'mover'),
    counted(loads, 'load'),
    counted(castors, 'castor'),
    counted(positions.length, 'position'),
  ];
  return [
    [span(page, description.cart, 'strong'), span(page, `  ${description.mobility}`, 'quiet')],
    ...(description.description === '' ? [] : paragraph(page, description.description)),
    BLANK,
    ...labelled(page, 'holds', counts.join(', '), LABELS),
    ...labelled(page, 'bare mass', quantityText(description.bareMass, 'mass', units), LABELS),
    ...labelled(
      page,
      'greatest height',
      greatestHeight === null ? 'no outline given' : quantityText(greatestHeight, 'length', units),
      LABELS,
    ),
  ];
}

function assumedLines(page: Page, assumed: readonly AssumedInput[]): Line[] {
  if (assumed.length === 0) return paragraph(page, 'none');
  const columns = [
    { heading: 'input', align: 'left' },
    { heading: 'taken as', align: 'left' },
    { heading: 'basis', align: 'left' },
  ] as const;
  const rows = assumed.map(({ what, taken, basis }) => [
    [span(page, what)],
    [span(page, taken)],
    [span(page, basis, 'unsure')],
  ]);
  return table(page, columns, rows, 0);
}

export function descriptionSheet(page: Page, sheet: DescriptionSheet): Line[] {
  const { description, units } = sheet;
  return [
    ...header(page, sheet),
    ...description.positions.flatMap((position) => positionLines(page, position, units)),
    ...section(page, 'Assumed inputs', assumedLines(page, description.assumed)),
    ...cautionLines(page, description.cautions),
  ];
}
