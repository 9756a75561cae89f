/** The positions: what every mover and load may be in each. */

import { useId } from 'react';
import type { FieldChange, FieldPath } from '../../document/index.js';
import { nodeAt } from '../../document/index.js';
import { useDescribe, useField } from './describe-context.js';
import { AmountInput, Field, FieldRow, hasError } from './field.js';
import { countAt, fieldWords, labelOf, textAt } from './field-address.js';
import { ItemList } from './item-list.js';
import { KindFields } from './map-fields.js';

const POSITIONS = ['positions'];
const ADDS = [
  { kind: 'use', words: 'Add position of use' },
  { kind: 'transport', words: 'Add transport position' },
] as const;

export function PositionSection() {
  return (
    <ItemList
      path={POSITIONS}
      heading="Positions"
      adds={ADDS}
      none="None yet: at least one for transport and one for use."
      body={(item) => <PositionFields item={item} />}
    />
  );
}

function PositionFields({ item }: { readonly item: FieldPath }) {
  const { fields } = useDescribe();
  const kind = nodeAt(fields, [...item, 'transport']) === null ? 'use' : 'transport';
  const movers = names(useDescribe().fields, 'movers');
  const loads = names(fields, 'loads');
  const strange = strangeNames(fields, [...item, kind], movers);
  const strangeLoads = strangeNames(fields, [...item, 'loads'], loads);
  return (
    <>
      <Field path={[...item, 'name']} />
      <KindFields path={item} kinds={['transport', 'use']} isBare />
      <h4>Movers</h4>
      {movers.length === 0 && <p className="kit-soft">The cart has no movers.</p>}
      {[...movers, ...strange].map((name) => (
        <StateField
          key={name}
          path={[...item, kind, name]}
          label={name}
          of={moverStates(fields, name)}
        />
      ))}
      <h4>Loads</h4>
      {loads.length === 0 && <p className="kit-soft">The cart has no loads.</p>}
      {[...loads, ...strangeLoads].map((name) => (
        <StateField
          key={name}
          path={[...item, 'loads', name]}
          label={name}
          of={loadStates(fields, name)}
        />
      ))}
    </>
  );
}

type Fields = ReturnType<typeof useDescribe>['fields'];

function names(fields: Fields, list: string): string[] {
  const count = countAt(fields, [list]);
  const all = Array.from({ length: count }, (_, i) => textAt(fields, [list, i, 'name']).trim());
  return [...new Set(all)].filter((each) => each !== '');
}

/** Names that the position speaks of and the cart does not have: shown, so that they can be taken out. */
function strangeNames(fields: Fields, path: FieldPath, known: readonly string[]): string[] {
  const node = nodeAt(fields, path);
  if (node?.kind !== 'map') return [];
  return node.entries.map(({ key }) => key.trim()).filter((key) => !known.includes(key));
}

interface States {
  /** nothing stated */
  readonly whole: string;
  /** words that may stand instead of a value */
  readonly words: readonly string[];
  /** '' where a single value cannot stand */
  readonly value: string;
  readonly ends: readonly [string, string];
  /** what the mover or load itself says of its ends, as typed */
  readonly limits: readonly [string, string];
}

function moverStates(fields: Fields, name: string): States {
  const limits = limitsOf(fields, 'movers', name, ['slide', 'turn'], ['from', 'to']);
  return { whole: 'whole range', words: [], value: 'one value', ends: ['from', 'to'], limits };
}

function loadStates(fields: Fields, name: string): States {
  const limits = limitsOf(fields, 'loads', name, ['fluid', 'removable'], ['least', 'most']);
  const words = ['absent', 'full'];
  return { whole: 'as allowed', words, value: '', ends: ['least', 'most'], limits };
}

function limitsOf(
  fields: Fields,
  list: string,
  name: string,
  kinds: readonly string[],
  [first, second]: readonly [string, string],
): readonly [string, string] {
  const count = countAt(fields, [list]);
  for (let index = 0; index < count; index += 1) {
    if (textAt(fields, [list, index, 'name']).trim() !== name) continue;
    const kind = kinds.find((each) => nodeAt(fields, [list, index, each]) !== null) ?? '';
    const path = [list, index, kind];
    return [textAt(fields, [...path, first]), textAt(fields, [...path, second])];
  }
  return ['', ''];
}

const RANGE = 'range';
const VALUE = 'value';

/** Whole range, one value, or from where to where. */
function StateField({
  path,
  label,
  of,
}: {
  readonly path: FieldPath;
  readonly label: string;
  readonly of: States;
}) {
  const { fields, change } = useDescribe();
  const { id, node, text, issues } = useField(path);
  const issueId = useId();
  const ends = useEndIssues(path, of.ends);
  const isWord = of.words.includes(text);
  const state = node === null ? '' : node.kind === 'map' ? RANGE : isWord ? text : VALUE;
  function choose(chosen: string): void {
    change(fieldWords(fields, path), [stateChange(path, chosen, of)]);
  }
  return (
    <FieldRow
      label={label}
      htmlFor={state === VALUE ? `${id}.state` : id}
      issues={[...issues, ...ends]}
      issueId={issueId}
      required
    >
      <span className="describe-state">
        <select
          id={state === VALUE ? `${id}.state` : id}
          className="kit-select"
          value={state}
          aria-invalid={(state !== VALUE && hasError(issues)) || undefined}
          aria-describedby={issues.length + ends.length > 0 ? issueId : undefined}
          onChange={(event) => choose(event.target.value)}
        >
          <option value="">{wholeWords(of)}</option>
          {of.words.map((word) => (
            <option key={word} value={word}>
              {word}
            </option>
          ))}
          {(of.value !== '' || state === VALUE) && (
            <option value={VALUE}>{of.value || text}</option>
          )}
          <option value={RANGE}>range</option>
        </select>
        {state === VALUE && <AmountInput path={path} issueId={issueId} label={`${label} value`} />}
      </span>
      {state === RANGE && (
        <span className="describe-range">
          {of.ends.map((end) => (
            <span key={end} className="describe-coordinate">
              <span className="describe-letter" aria-hidden="true">
                {end}
              </span>
              <AmountInput path={[...path, end]} issueId={issueId} label={`${label} ${end}`} />
            </span>
          ))}
        </span>
      )}
    </FieldRow>
  );
}

function useEndIssues(path: FieldPath, ends: readonly [string, string]) {
  const first = useField([...path, ends[0]]);
  const second = useField([...path, ends[1]]);
  return [...first.issues, ...second.issues];
}

function wholeWords({ whole, limits: [from, to] }: States): string {
  return from === '' || to === '' ? whole : `${whole}, ${from} to ${to}`;
}

/** What the mover or load allows is what one starts from. */
function stateChange(path: FieldPath, chosen: string, of: States): FieldChange {
  if (chosen === '') return { kind: 'remove', path };
  const [from, to] = of.limits;
  if (chosen === VALUE) return { kind: 'set', path, value: { typed: from } };
  if (chosen !== RANGE) return { kind: 'set', path, value: chosen };
  const map = { [of.ends[0]]: { typed: from }, [of.ends[1]]: { typed: to } };
  return { kind: 'set', path, value: { map } };
}

const UNCERTAIN = ['uncertainty'];
const MEANT = ['tolerance', 'standard uncertainty'];

/** Tolerances that stand beside no value. */
export function UncertaintySection() {
  const { fields } = useDescribe();
  const { guide, issues } = useField(UNCERTAIN);
  const keys = guide?.fields ?? [];
  const strange = strangeNames(fields, UNCERTAIN, keys);
  return (
    <>
      <p className="kit-soft">{guide?.about}</p>
      {issues.map((each) => (
        <p key={each.words} className="kit-problem">
          {each.words}
        </p>
      ))}
      {keys.map((key) => (
        <UncertaintyFields key={key} path={['uncertainty', key]} />
      ))}
      {strange.map((key) => (
        <p key={key} className="kit-problem">
          {key}: no such quantity; take it out in the text.
        </p>
      ))}
    </>
  );
}

function UncertaintyFields({ path }: { readonly path: FieldPath }) {
  const { fields, change } = useDescribe();
  const { id, node, issues, guide } = useField(path);
  const issueId = useId();
  const key = String(path.at(-1));
  const meant = MEANT.find((each) => nodeAt(fields, [...path, each]) !== null) ?? '';
  const inside = useEndIssues(path, ['tolerance', 'standard uncertainty']);
  const isTyped = meant === 'tolerance';
  function choose(chosen: string): void {
    change(`uncertainty of ${key}`, uncertaintyChanges(fields, path, meant, chosen));
  }
  return (
    <FieldRow
      label={labelOf(key)}
      htmlFor={id}
      issues={[...issues, ...inside]}
      issueId={issueId}
      required
      isOver={meant !== ''}
    >
      <span className="describe-uncertain">
        <select
          id={id}
          className="kit-select"
          value={node === null ? '' : meant}
          title={guide?.about}
          aria-describedby={issues.length + inside.length > 0 ? issueId : undefined}
          onChange={(event) => choose(event.target.value)}
        >
          <option value="">not stated</option>
          {MEANT.map((each) => (
            <option key={each} value={each}>
              {each}
            </option>
          ))}
        </select>
        {meant !== '' && (
          <AmountInput
            path={[...path, meant]}
            issueId={issueId}
            label={`${labelOf(key)} ${meant}`}
          />
        )}
        {isTyped && <DistributionField path={[...path, 'distribution']} of={key} />}
      </span>
    </FieldRow>
  );
}

function uncertaintyChanges(
  fields: Fields,
  path: FieldPath,
  from: string,
  to: string,
): readonly FieldChange[] {
  if (to === '') return [{ kind: 'remove', path }];
  const typed = from === '' ? '' : textAt(fields, [...path, from]);
  const value = { map: { [to]: { typed } } };
  return [{ kind: 'set', path, value }];
}

function DistributionField({ path, of }: { readonly path: FieldPath; readonly of: string }) {
  const { fields, change } = useDescribe();
  const { id, text, issues, guide } = useField(path);
  const choices = guide?.choices ?? [];
  return (
    <select
      id={id}
      className="kit-select"
      value={text}
      aria-label={`${labelOf(of)} distribution`}
      aria-invalid={hasError(issues) || undefined}
      onChange={({ target }) =>
        change(fieldWords(fields, path), [
          target.value === ''
            ? { kind: 'remove', path }
            : { kind: 'set', path, value: target.value },
        ])
      }
    >
      <option value="">not stated</option>
      {text !== '' && !choices.includes(text) && <option value={text}>{text}</option>}
      {choices.map((each) => (
        <option key={each} value={each}>
          {each}
        </option>
      ))}
    </select>
  );
}
