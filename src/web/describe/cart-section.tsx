/** What the cart is called, how it is moved, and what it is checked against. */

import { useId } from 'react';
import { useWorkbench } from '../kit/use-workbench.js';
import { useDescribe, useField } from './describe-context.js';
import { Field, FieldRow, hasError } from './field.js';
import { wordChanges } from './field-inputs.js';

export function CartSection() {
  return (
    <>
      <Field path={['name']} />
      <Field path={['description']} />
      <Field path={['mobility']} />
      <RequirementField />
      <MarkingField />
    </>
  );
}

const REQUIREMENTS = ['requirements'];

function RequirementField() {
  const { change, help } = useDescribe();
  const { id, text, issues, guide } = useField(REQUIREMENTS);
  const sets = useWorkbench((s) => s.sets);
  const issueId = useId();
  return (
    <FieldRow
      label="Requirement set"
      htmlFor={id}
      issues={issues}
      issueId={issueId}
      required={false}
    >
      <select
        id={id}
        className="kit-select"
        value={text}
        aria-invalid={hasError(issues) || undefined}
        aria-describedby={issues.length > 0 ? issueId : undefined}
        onFocus={() => guide && help({ about: guide.about, due: guide.due })}
        onBlur={() => help(null)}
        onChange={({ target }) =>
          change('requirement set', [
            target.value === ''
              ? { kind: 'remove', path: REQUIREMENTS }
              : { kind: 'set', path: REQUIREMENTS, value: target.value },
          ])
        }
      >
        <option value="">not stated</option>
        {text !== '' && !sets.some((each) => each.id === text) && (
          <option value={text}>{text} (no set of this name is here)</option>
        )}
        {sets.map((each) => (
          <option key={each.id} value={each.id}>
            {each.id}
          </option>
        ))}
      </select>
    </FieldRow>
  );
}

const MARKINGS = ['markings'];
const SIGNS = ['no pushing', 'no sitting', 'no stepping'];

function MarkingField() {
  const { fields, change } = useDescribe();
  const { id, node, issues } = useField(MARKINGS);
  const issueId = useId();
  const items = node?.kind === 'list' ? node.items : [];
  const has = (sign: string) => items.some((each) => each.kind === 'scalar' && each.text === sign);
  return (
    <FieldRow label="Signs fixed to it" htmlFor={null} issues={issues} issueId={issueId} required>
      <fieldset className="describe-signs" aria-label="Signs fixed to it" id={id} tabIndex={-1}>
        {SIGNS.map((sign) => (
          <label key={sign} className="describe-word">
            <input
              type="checkbox"
              checked={has(sign)}
              onChange={({ target }) =>
                change(
                  `sign ${sign} ${target.checked ? 'added' : 'removed'}`,
                  wordChanges(fields, MARKINGS, sign, target.checked),
                )
              }
            />
            {sign}
          </label>
        ))}
      </fieldset>
    </FieldRow>
  );
}
