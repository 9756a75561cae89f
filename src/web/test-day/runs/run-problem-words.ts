/** What is missing or wrong in the record of a run, with the places as the form calls them. */

import type { EntryProblem } from '../../../test-record/index.js';
import type { PlaceOf } from '../sample/problem-words.js';
import { problemWords } from '../sample/problem-words.js';

const PLACES: Readonly<Record<string, string>> = {
  sample: 'Sample',
  taken: 'Done at',
  operator: 'Operator',
  temperature: 'Temperature',
  instruments: 'Instruments used',
  readings: 'Readings',
  photos: 'Photos',
  notes: 'Notes',
  deviations: 'Done otherwise than planned',
  retestOf: 'Repeats a failed run after a change',
  why: 'Why it is changed',
};

const READ: Readonly<Record<string, string>> = {
  direction: 'direction',
  load: 'force or angle',
  result: 'what happened',
  mode: 'how it gave way',
  elastic: 'elastic movement',
  creepage: 'creepage',
  pivoting: 'pivoting',
  further: 'further movement',
  forceToMove: 'greatest force to move it',
  castorLoad: 'load of the castor',
  done: 'done as asked',
  trace: 'file of the force gauge',
  note: 'note',
};

const runPlace: PlaceOf = ([field, row, ...what]) => {
  if (field !== 'readings' || row === undefined) return PLACES[String(field)] ?? null;
  const names = what.flatMap((each) => READ[each] ?? []);
  return [`Reading ${Number(row) + 1}`, ...names].join(', ');
};

export function runProblemWords(problem: EntryProblem): string {
  const own = problem.path[0] === 'body' ? problem.path.slice(1) : problem.path;
  const [field, row, what] = own;
  // nothing was read, and no note says why
  if (field === 'readings' && row !== undefined && what === undefined) {
    return `Reading ${Number(row) + 1}: nothing filled in yet`;
  }
  return problemWords(problem, runPlace);
}
