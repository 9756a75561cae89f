import type { RequirementSet, RequirementValue } from '../../src/requirements/index.js';

/** The values of a set as the documentation prints them, in Markdown. */
export function valueTable(set: RequirementSet): string {
  const rows = set.clauses.flatMap((clause) =>
    clause.values.map((value) => {
      const number = clause.note === '' ? clause.clause : `${clause.clause} (${clause.note})`;
      const cells = [number, clause.id, value.id, figure(value), value.basis, value.note];
      return `| ${cells.join(' | ')} |`;
    }),
  );
  return [
    `### ${set.standard}, edition ${set.edition}: \`${set.id}\``,
    '',
    '| number | clause | value | figure | basis | note |',
    '|---|---|---|---|---|---|',
    ...rows,
  ].join('\n');
}

function figure(value: RequirementValue): string {
  return `${value.text}, ${value.title}`;
}
