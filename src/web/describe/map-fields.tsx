/** All fields of a map, in the order of the file. Where it is one of several kinds (a slide or a turn), the
 * kind is chosen first and its fields follow. */

import { useId } from 'react';
import type { FieldPath } from '../../document/index.js';
import { fieldGuide, nodeAt } from '../../document/index.js';
import { useDescribe } from './describe-context.js';
import { Field, FieldRow, hasError } from './field.js';
import { fieldId, fieldKey, fieldWords, labelOf } from './field-address.js';
import { kindChanges } from './field-inputs.js';

export interface MapFieldsProps {
  readonly path: FieldPath;
  /** keys that stand elsewhere */
  readonly leftOut?: readonly string[];
}

export function MapFields({ path, leftOut = [] }: MapFieldsProps) {
  const { fields } = useDescribe();
  const guide = fieldGuide(path, fields);
  const keys = (guide?.fields ?? []).filter((key) => !leftOut.includes(key));
  return keys.map((key) => {
    const below = fieldGuide([...path, key], fields);
    const isKind = below !== null && below.oneOf.length > 0 && below.kind !== 'quantity';
    if (below?.kind !== 'map' && below?.kind !== 'entries') {
      return <Field key={key} path={[...path, key]} />;
    }
    if (!isKind) return null;
    return below.oneOf[0] === key ? <KindFields key={key} path={path} kinds={below.oneOf} /> : null;
  });
}

/** The kind, and the fields of the one that it is. */
export function KindFields({
  path,
  kinds,
  isBare = false,
}: {
  readonly path: FieldPath;
  readonly kinds: readonly string[];
  /** only the kind itself */
  readonly isBare?: boolean;
}) {
  const { fields, problems, change } = useDescribe();
  const issueId = useId();
  const kind = kinds.find((key) => nodeAt(fields, [...path, key]) !== null) ?? null;
  // none given: the reader names the first
  const at = [...path, kind ?? kinds[0] ?? ''];
  const issues = problems.byField.get(fieldKey(at)) ?? [];
  const id = fieldId(at);
  function choose(to: string): void {
    const keys = fieldGuide([...path, to], fields)?.fields ?? [];
    change(`kind of ${fieldWords(fields, path)}`, kindChanges(fields, path, kind, to, keys));
  }
  return (
    <>
      <FieldRow label="Kind" htmlFor={id} issues={issues} issueId={issueId} required>
        <select
          id={id}
          className="kit-select"
          value={kind ?? ''}
          aria-invalid={hasError(issues) || undefined}
          aria-describedby={issues.length > 0 ? issueId : undefined}
          onChange={(event) => choose(event.target.value)}
        >
          {kind === null && <option value="">choose</option>}
          {kinds.map((each) => (
            <option key={each} value={each} title={fieldGuide([...path, each], fields)?.about}>
              {labelOf(each)}
            </option>
          ))}
        </select>
      </FieldRow>
      {kind !== null && !isBare && <MapFields path={[...path, kind]} />}
    </>
  );
}
