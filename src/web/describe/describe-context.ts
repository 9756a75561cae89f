/** What the fields of the description share: the sheet as fields, its problems, and which field wants the
 * focus. */

import { createContext, useContext } from 'react';
import type { FieldChange, FieldGuide, FieldNode, FieldPath } from '../../document/index.js';
import { fieldGuide, nodeAt } from '../../document/index.js';
import type { UnitSystem } from '../../units/index.js';
import type { FieldIssue } from '../store/reading.js';
import { fieldId, fieldKey } from './field-address.js';
import type { Problems } from './sections.js';

/** A field that is to have the focus, counted so that the same one can be asked for again. */
export interface Goal {
  readonly path: FieldPath;
  readonly count: number;
}

export interface Describe {
  readonly fields: FieldNode;
  readonly problems: Problems;
  readonly units: UnitSystem;
  readonly goal: Goal | null;
  /** opens what hides the field and puts the focus on it */
  readonly goTo: (path: FieldPath) => void;
  /** the goal has the focus: it is not asked for again when a section is opened anew */
  readonly reached: (goal: Goal) => void;
  readonly change: (words: string, changes: readonly FieldChange[]) => boolean;
  /** one line of help for the field that has the focus; null: none has */
  readonly help: (words: Help | null) => void;
}

export interface Help {
  readonly about: string;
  readonly due: string;
}

export const DescribeContext = createContext<Describe | null>(null);

export function useDescribe(): Describe {
  const describe = useContext(DescribeContext);
  if (describe === null) throw new Error('useDescribe: outside of the description');
  return describe;
}

export interface FieldState {
  readonly id: string;
  readonly guide: FieldGuide | null;
  readonly node: FieldNode | null;
  /** '' where no plain value stands */
  readonly text: string;
  readonly issues: readonly FieldIssue[];
}

const NO_ISSUES: readonly FieldIssue[] = [];

export function useField(path: FieldPath): FieldState {
  const { fields, problems } = useDescribe();
  return fieldState(fields, problems, path);
}

function fieldState(fields: FieldNode, problems: Problems, path: FieldPath): FieldState {
  const node = nodeAt(fields, path);
  return {
    id: fieldId(path),
    guide: fieldGuide(path, fields),
    node,
    text: node?.kind === 'scalar' ? node.text : '',
    issues: problems.byField.get(fieldKey(path)) ?? NO_ISSUES,
  };
}
