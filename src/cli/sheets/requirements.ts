/** The sheets of `standstill requirements`: the sets in a list, and one set in full. */

import { clauseTitle, quantityText } from '../../analysis/index.js';
import type {
  Clause,
  Condition,
  RequirementSet,
  RequirementValue,
} from '../../requirements/index.js';
import type { UnitSystem } from '../../units/index.js';
import type { Line, Page } from '../page.js';
import { BLANK, labelled, paragraph, rule, span, spread, table } from '../sheet.js';

const LABELS = { indent: 2, label: 10 };

function valuesOf(set: RequirementSet): readonly RequirementValue[] {
  return set.clauses.flatMap((clause) => clause.values);
}

export function requirementListSheet(page: Page, sets: readonly RequirementSet[]): Line[] {
  const columns = [
    { heading: 'set', align: 'left' },
    { heading: 'title', align: 'left' },
    { heading: 'clauses', align: 'right' },
    { heading: 'confirmed', align: 'right' },
  ] as const;
  const rows = sets.map((set) => {
    const values = valuesOf(set);
    const confirmed = values.filter(({ confirmation }) => confirmation !== null).length;
    return [
      [span(page, set.id)],
      [span(page, set.title)],
      [span(page, `${set.clauses.length}`)],
      [span(page, `${confirmed} of ${values.length} values`)],
    ];
  });
  return [
    ...table(page, columns, rows, 1),
    BLANK,
    ...paragraph(page, 'One in full: standstill requirements show SET', 0, 'quiet'),
  ];
}

function conditionText(condition: Condition, units: UnitSystem): string {
  switch (condition.kind) {
    case 'mobile':
      return 'the cart is mobile';
    case 'has castors':
      return 'it stands on castors';
    case 'mass at least':
      return `its greatest mass is ${quantityText(condition.mass, 'mass', units)} or more`;
    case 'mass above':
      return `its greatest mass is above ${quantityText(condition.mass, 'mass', units)}`;
    case 'height at least':
      return `its greatest height is ${quantityText(condition.height, 'length', units)} or more`;
    case 'has surface': {
      const height = quantityText(condition.greatestHeight, 'length', units);
      return `it has a ${condition.surfaces.join(' or ')} up to ${height} high, not signed against`;
    }
    case 'may be pushed':
      return 'no sign forbids pushing it';
    case 'has locks':
      return 'it has locks';
    case 'has lifting handles':
      return 'it has lifting handles';
  }
}

function basisText(value: RequirementValue): string {
  const { confirmation, basis, note } = value;
  if (confirmation !== null) {
    return `confirmed by ${confirmation.who}, ${confirmation.when}, ${confirmation.copy}`;
  }
  return `unconfirmed: ${basis}${note === '' ? '' : ` (${note})`}`;
}

function clauseLines(page: Page, clause: Clause, units: UnitSystem): Line[] {
  const conditions = clause.conditions.map((condition) => conditionText(condition, units));
  const columns = [
    { heading: 'value', align: 'left' },
    { heading: 'asked', align: 'right' },
    { heading: 'what it is', align: 'left' },
  ] as const;
  const rows = clause.values.map((value) => [
    [span(page, value.id)],
    [span(page, value.text)],
    [
      span(page, value.title),
      span(page, basisText(value), value.confirmation === null ? 'unsure' : 'good'),
    ],
  ]);
  return [
    BLANK,
    ...spread(page, clauseTitle(clause.clause, clause.title), 'strong', [
      span(page, clause.id, 'quiet'),
    ]),
    ...labelled(page, 'asks', clause.asks, LABELS),
    ...(clause.alternative === null
      ? []
      : labelled(page, 'or', `${clause.alternative}, which may be met instead`, LABELS)),
    ...(clause.note === '' ? [] : labelled(page, 'note', clause.note, LABELS)),
    ...labelled(page, 'where', conditions.length === 0 ? 'always' : conditions.join('; '), LABELS),
    ...table({ ...page, width: page.width - LABELS.indent }, columns, rows, 2).map(
      (line): Line => [span(page, ' '.repeat(LABELS.indent)), ...line],
    ),
  ];
}

export function requirementSetSheet(page: Page, set: RequirementSet, units: UnitSystem): Line[] {
  return [
    [span(page, set.title, 'strong')],
    ...paragraph(page, `${set.standard}, edition ${set.edition}`),
    ...paragraph(page, set.id, 0, 'quiet'),
    rule(page),
    ...set.clauses.flatMap((clause) => clauseLines(page, clause, units)),
  ];
}
