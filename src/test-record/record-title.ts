/** What a record is called in a line. */

import type { Subject } from './entry-body.js';
import type { ProjectState, RecordState } from './project-state.js';

/** Characters of an id that are shown: enough to tell the records of a project apart. */
const SHORT = 8;

function shortId(id: string): string {
  return id.slice(0, SHORT);
}

/** A record as it stands in a line: 'sample TH-0001', 'run overbalance-transport-1'. */
export function recordTitle(state: ProjectState, record: RecordState): string {
  const { content } = record;
  const of = (subject: Subject): string => {
    const other = state.records.get(subject);
    return other === undefined ? shortId(subject) : recordTitle(state, other);
  };
  switch (content.kind) {
    case 'project':
      return `project ${content.name}`;
    case 'cart':
      return `revision ${content.revision}`;
    case 'plan':
      return `plan ${content.name}`;
    case 'instrument':
      return `${content.instrument} ${content.serial || content.name}`;
    case 'sample':
      return `sample ${content.serial || content.name}`;
    case 'run':
      return `run ${content.run}`;
    case 'weighing':
      return `weighing of ${of(content.sample)}`;
    case 'friction':
      return `friction of ${content.tread}, ${of(content.sample)}`;
    case 'diagnosis':
      return `diagnosis of ${of(content.run)}`;
    case 'note':
      return content.about === null ? 'note' : `note on ${of(content.about)}`;
  }
}

export function subjectTitle(state: ProjectState, subject: Subject): string {
  const record = state.records.get(subject);
  return record === undefined ? shortId(subject) : recordTitle(state, record);
}
