/** Sources of uncertainty as people call them. */

import type { ProjectState } from '../../../test-record/index.js';
import { recordOf } from '../../../test-record/index.js';

/** A budget knows a scale by its record, since two may have one name; who reads it knows the name. */
export function sourceWords(source: string, state: ProjectState | null): string {
  const subject = /^scale '(.*)'$/.exec(source)?.[1];
  if (state === null || subject === undefined) return source;
  const scale = recordOf(state, 'instrument', subject)?.content;
  return scale === undefined ? source : `scale ${`${scale.name} ${scale.serial}`.trim()}`;
}
