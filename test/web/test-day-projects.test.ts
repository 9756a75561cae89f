import { describe, expect, it } from 'vitest';
import type { NewEntry } from '../../src/test-record/index.js';
import { projectsBegunHere } from '../../src/web/test-day/projects/projects-begun-here.js';

const begun: NewEntry = {
  ...{ id: 'p1', project: 'p1', subject: 'p1', base: null, who: 'Ada Fell', why: '' },
  at: '2026-11-25T09:00:00.000Z',
  body: { kind: 'project', name: 'Lamp stand', customer: 'Field clinic', notes: '' },
};
const note: NewEntry = {
  ...begun,
  ...{ id: 'n1', subject: 'n1', at: '2026-11-25T10:00:00.000Z' },
  body: { kind: 'note', about: null, text: 'windy', photos: [] },
};
const summary = {
  ...{ id: 'p1', name: 'Lamp stand', customer: '', entries: 1, head: '' },
  changed: '2026-11-25T09:00:01.000Z',
};

describe('projects begun in this browser', () => {
  it('are shown with their entries until the program has them', () => {
    expect(projectsBegunHere([begun, note], [])).toEqual([
      {
        ...{ id: 'p1', name: 'Lamp stand', customer: 'Field clinic', entries: 2, head: '' },
        changed: '2026-11-25T10:00:00.000Z',
      },
    ]);
    expect(projectsBegunHere([begun, note], [summary])).toEqual([]);
  });
  it('are not those whose later entries wait', () => {
    expect(projectsBegunHere([note], [])).toEqual([]);
    const renamed = { ...begun, id: 'e2' };
    expect(projectsBegunHere([renamed], [])).toEqual([]);
  });
});
