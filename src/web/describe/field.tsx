/** One field of the cart file: its label, what was typed, what is wrong with it. What kind of control it is
 * follows from the same shape that the reader uses. */

import type { ReactNode } from 'react';
import { memo, useId } from 'react';
import type { FieldGuide, FieldNode, FieldPath } from '../../document/index.js';
import { nodeAt } from '../../document/index.js';
import { useWorkbench } from '../kit/use-workbench.js';
import type { FieldIssue } from '../store/reading.js';
import { useDescribe, useField } from './describe-context.js';
import { DraftInput } from './draft-input.js';
import { fieldKey, fieldWords, labelOf, textAt } from './field-address.js';
import type { FieldRule } from './field-inputs.js';
import { coordinateChanges, typedChanges } from './field-inputs.js';
import { inOtherUnits } from './typed-amount.js';
import { useCanScrub, useScrub } from './use-scrub.js';

export interface FieldProps {
  readonly path: FieldPath;
  /** left out: by the key of the field */
  readonly label?: string;
}

export const Field = memo(FieldByKind, isSameField);

function isSameField(a: FieldProps, b: FieldProps): boolean {
  return (
    a.label === b.label &&
    a.path.length === b.path.length &&
    a.path.every((s, i) => s === b.path[i])
  );
}

function FieldByKind({ path, label = labelOf(String(path.at(-1))) }: FieldProps) {
  const { guide, node } = useField(path);
  if (guide === null) return null;
  if (guide.kind === 'point') return <PointField path={path} label={label} guide={guide} />;
  if (guide.kind === 'list') return <ListField path={path} label={label} />;
  if (guide.kind === 'flag') return <FlagField path={path} label={label} />;
  if (guide.kind === 'choice') {
    const isNumbers = guide.other === 'point' && node?.kind === 'list';
    return (
      <>
        <ChoiceField path={path} label={label} guide={guide} />
        {isNumbers && <PointField path={path} label={`${label} in numbers`} guide={guide} />}
      </>
    );
  }
  if (guide.refersTo === 'mover' || guide.refersTo === 'castor type') {
    return <NameField path={path} label={label} guide={guide} />;
  }
  return <TextField path={path} label={label} guide={guide} />;
}

/** Label, control, and what is wrong, below each other where it is narrow. */
export function FieldRow({
  label,
  htmlFor,
  issues,
  issueId,
  required,
  isOver = false,
  children,
}: {
  readonly label: string;
  readonly htmlFor: string | null;
  readonly issues: readonly FieldIssue[];
  readonly issueId: string;
  readonly required: boolean;
  /** the label goes over the control, which needs the width */
  readonly isOver?: boolean;
  readonly children: ReactNode;
}) {
  return (
    <div className={isOver ? 'describe-field is-over' : 'describe-field'}>
      {htmlFor === null ? (
        <span className="describe-label">{label}</span>
      ) : (
        <label className="describe-label" htmlFor={htmlFor}>
          {label}
          {!required && <span className="kit-hidden"> (may be left out)</span>}
        </label>
      )}
      <div className="describe-control">
        {children}
        <Issues id={issueId} issues={issues} />
      </div>
    </div>
  );
}

/** Always there, so that what is wrong is told when it comes up. */
export function Issues({
  id,
  issues,
}: {
  readonly id: string;
  readonly issues: readonly FieldIssue[];
}) {
  if (issues.length === 0) return null;
  return (
    <div id={id} className="describe-issues">
      {issues.map((each, index) => (
        <p
          // biome-ignore lint/suspicious/noArrayIndexKey: the list is made anew with every reading
          key={index}
          className={each.issue.severity === 'error' ? 'kit-problem' : 'describe-warning'}
        >
          {each.issue.severity === 'error' ? '' : 'Warning: '}
          {each.words}
        </p>
      ))}
    </div>
  );
}

export function hasError(issues: readonly FieldIssue[]): boolean {
  return issues.some(({ issue }) => issue.severity === 'error');
}

/** How what is typed goes into the file. */
export function ruleOf(guide: FieldGuide, fields: FieldNode, path: FieldPath): FieldRule {
  const isText = guide.kind === 'name' || guide.kind === 'text';
  const others = guide.oneOf.filter(
    (key) => key !== path.at(-1) && nodeAt(fields, [...path.slice(0, -1), key]) !== null,
  );
  return { isText, required: guide.required, others };
}

interface GuidedProps {
  readonly path: FieldPath;
  readonly label: string;
  readonly guide: FieldGuide;
}

/** Texts, names, numbers and quantities. */
function TextField({ path, label, guide }: GuidedProps) {
  const describe = useDescribe();
  const { fields } = describe;
  const { id, text, issues } = useField(path);
  const issueId = useId();
  const [word] = guide.kind === 'quantity' ? guide.choices : [];
  const choices = useChoices(path, guide);
  return (
    <FieldRow
      label={label}
      htmlFor={id}
      issues={issues}
      issueId={issueId}
      required={guide.required}
    >
      <span className="describe-amount">
        {text === word && word !== undefined ? null : (
          <AmountInput path={path} issueId={issueId} label={null} choices={choices?.id} />
        )}
        {word !== undefined && (
          <label className="describe-word">
            <input
              id={text === word ? id : undefined}
              type="checkbox"
              checked={text === word}
              onChange={(event) => {
                const typed = event.target.checked ? word : '';
                const rule = { ...ruleOf(guide, fields, path), required: typed !== '' };
                describe.change(fieldWords(fields, path), typedChanges(path, typed, rule));
              }}
            />
            {word}
          </label>
        )}
      </span>
      {choices !== null && (
        <datalist id={choices.id}>
          {choices.names.map((name) => (
            <option key={name} value={name} />
          ))}
        </datalist>
      )}
    </FieldRow>
  );
}

/** Names that may be meant: treads, and rows of the parts list. */
function useChoices(
  path: FieldPath,
  guide: FieldGuide,
): { readonly id: string; readonly names: readonly string[] } | null {
  const { fields } = useDescribe();
  const id = useId();
  const lists = useWorkbench((s) => s.partsLists);
  if (path.at(-1) === 'from list') {
    const list = lists.get(textAt(fields, ['parts list']))?.list;
    return list ? { id, names: list.rows.map((row) => row.name) } : null;
  }
  if (guide.refersTo !== 'tread') return null;
  return { id, names: namesIn(fields, ['floor', 'friction'], 'tread') };
}

function namesIn(fields: FieldNode, list: FieldPath, key: string): string[] {
  const node = nodeAt(fields, list);
  const items = node?.kind === 'list' ? node.items : [];
  const names = items.map((_, index) => textAt(fields, [...list, index, key]).trim());
  return [...new Set(names)].filter((each) => each !== '');
}

/** The control of a single value, with its value in other units and a grip to drag it by. */
export function AmountInput({
  path,
  issueId,
  label,
  choices,
  changesOf,
  invalid = false,
  isNarrow = false,
}: {
  readonly path: FieldPath;
  readonly issueId: string;
  readonly label: string | null;
  readonly choices?: string | undefined;
  /** left out: the field itself is set */
  readonly changesOf?: (typed: string) => ReturnType<typeof typedChanges>;
  readonly invalid?: boolean;
  /** no room for an example */
  readonly isNarrow?: boolean;
}) {
  const { fields, units, change, help } = useDescribe();
  const { id, guide, text, issues } = useField(path);
  const dimension = guide?.dimension ?? null;
  const scrub = useScrub(() => (guide === null ? null : { path, text, dimension }));
  const canScrub =
    useCanScrub(path, text, dimension) && guide?.kind !== 'name' && guide?.kind !== 'text';
  if (guide === null) return null;
  const shown = scrub.live ?? text;
  const other = inOtherUnits(shown, dimension, units);
  const rename = renameOf(fields, path, guide);
  return (
    <span className={canScrub ? 'describe-value has-grip' : 'describe-value'}>
      <DraftInput
        id={id}
        text={shown}
        label={label}
        invalid={invalid || hasError(issues)}
        describedBy={issues.length > 0 || invalid ? issueId : undefined}
        lines={guide.wraps ? 3 : 1}
        choices={choices}
        placeholder={
          text === '' && !isNarrow && guide.example ? `such as ${guide.example}` : undefined
        }
        onCommit={(typed) => {
          const changes = changesOf?.(typed) ?? rename?.(typed) ?? [];
          const all =
            changes.length > 0 || changesOf !== undefined
              ? changes
              : typedChanges(path, typed, ruleOf(guide, fields, path));
          return change(fieldWords(fields, path), all);
        }}
        onFocus={() => help({ about: guide.about, due: guide.due })}
        onBlur={() => {
          scrub.release();
          help(null);
        }}
        onKey={scrub.onKey}
        onKeyUp={scrub.onKeyUp}
      />
      {canScrub && <Grip onPointerDown={scrub.onPointerDown} />}
      {other !== '' && <span className="describe-other">{other}</span>}
    </span>
  );
}

/** For the pointer only: the keys are Alt with up and down in the field itself. */
export function Grip({
  onPointerDown,
}: {
  readonly onPointerDown: ReturnType<typeof useScrub>['onPointerDown'];
}) {
  return (
    <span
      className="describe-grip"
      aria-hidden="true"
      title="Drag sideways, with Shift in larger steps; or Alt and the arrows up and down"
      onPointerDown={onPointerDown}
    >
      <svg viewBox="0 0 14 10" width="14" height="10" aria-hidden="true">
        <path d="M4 1 1 5l3 4M10 1l3 4-3 4M1 5h12" fill="none" stroke="currentColor" />
      </svg>
    </span>
  );
}

const RENAMED = {
  movers: 'mover',
  loads: 'load',
  'castor types': 'castor type',
} as const;

/** A name that others speak of: they follow. */
function renameOf(fields: FieldNode, path: FieldPath, guide: FieldGuide) {
  if (guide.kind !== 'name') return null;
  const from = textAt(fields, path).trim();
  const what = path.at(-1) === 'tread' && path[0] === 'floor' ? 'tread' : kindOfName(path);
  if (what === null || from === '') return null;
  const isOnly = namesLike(fields, path, from) === 1;
  return (typed: string): ReturnType<typeof typedChanges> => {
    const to = typed.trim();
    if (!isOnly || to === '' || to === from) return [];
    if (namesLike(fields, path, to) > 0 && to.toLowerCase() !== from.toLowerCase()) return [];
    return [{ kind: 'rename', what, from, to }];
  };
}

function kindOfName(path: FieldPath) {
  const [list, , key] = path;
  if (path.length !== 3 || key !== 'name') return null;
  return RENAMED[list as keyof typeof RENAMED] ?? null;
}

/** How many items of the same list have the name. */
function namesLike(fields: FieldNode, path: FieldPath, name: string): number {
  const list = path.slice(0, -2);
  const node = nodeAt(fields, list);
  const items = node?.kind === 'list' ? node.items : [];
  return items.filter((_, i) => {
    const there = textAt(fields, [...list, i, String(path.at(-1))]);
    return there.trim().toLowerCase() === name.toLowerCase();
  }).length;
}

/** Not stated, one of the words, or, where these may stand instead, numbers. */
function ChoiceField({ path, label, guide }: GuidedProps) {
  const { fields, change, help } = useDescribe();
  const { id, text, issues, node } = useField(path);
  const issueId = useId();
  const mayBeNumbers = guide.other === 'point';
  const value = mayBeNumbers && node?.kind === 'list' ? NUMBERS : text;
  const isKnown = value === '' || value === NUMBERS || guide.choices.includes(text);
  function choose(chosen: string): void {
    const words = fieldWords(fields, path);
    if (chosen === NUMBERS) {
      const empty = guide.fields.map(() => ({ typed: '' }));
      change(words, [{ kind: 'set', path, value: empty }]);
    } else change(words, typedChanges(path, chosen, ruleOf(guide, fields, path)));
  }
  return (
    <FieldRow
      label={label}
      htmlFor={id}
      issues={value === NUMBERS ? [] : issues}
      issueId={issueId}
      required={guide.required}
    >
      <select
        id={value === NUMBERS ? `${id}.word` : id}
        className="kit-select"
        value={value}
        aria-label={label}
        aria-invalid={hasError(issues) || undefined}
        aria-describedby={issues.length > 0 ? issueId : undefined}
        onChange={(event) => choose(event.target.value)}
        onFocus={() => help({ about: guide.about, due: guide.due })}
        onBlur={() => help(null)}
      >
        {(value === '' || !guide.required) && (
          <option value="">{guide.required ? 'choose' : 'not stated'}</option>
        )}
        {!isKnown && <option value={value}>{value}</option>}
        {guide.choices.map((each) => (
          <option key={each} value={each}>
            {each}
          </option>
        ))}
        {mayBeNumbers && <option value={NUMBERS}>in numbers [x, y, z]</option>}
      </select>
    </FieldRow>
  );
}

const NUMBERS = '[x, y, z]';

/** The name of a mover (or the base), or of a castor type. */
function NameField({ path, label, guide }: GuidedProps) {
  const { fields, change, help } = useDescribe();
  const { id, text, issues } = useField(path);
  const issueId = useId();
  const list = guide.refersTo === 'mover' ? ['movers'] : ['castor types'];
  const own = path[0] === 'movers' ? textAt(fields, [...path.slice(0, 2), 'name']).trim() : null;
  const names = namesIn(fields, list, 'name').filter((each) => each !== own);
  return (
    <FieldRow
      label={label}
      htmlFor={id}
      issues={issues}
      issueId={issueId}
      required={guide.required}
    >
      <select
        id={id}
        className="kit-select"
        value={text}
        aria-invalid={hasError(issues) || undefined}
        aria-describedby={issues.length > 0 ? issueId : undefined}
        onChange={(event) =>
          change(
            fieldWords(fields, path),
            typedChanges(path, event.target.value, ruleOf(guide, fields, path)),
          )
        }
        onFocus={() => help({ about: guide.about, due: guide.due })}
        onBlur={() => help(null)}
      >
        {(!guide.required || text === '') && (
          <option value="">{guide.required ? 'choose' : 'the base'}</option>
        )}
        {text !== '' && !names.includes(text) && <option value={text}>{text}</option>}
        {names.map((name) => (
          <option key={name} value={name}>
            {name}
          </option>
        ))}
      </select>
    </FieldRow>
  );
}

function FlagField({ path, label }: { readonly path: FieldPath; readonly label: string }) {
  const { fields, change } = useDescribe();
  const { id, text, issues, guide } = useField(path);
  const issueId = useId();
  return (
    <FieldRow label={label} htmlFor={id} issues={issues} issueId={issueId} required>
      <select
        id={id}
        className="kit-select"
        value={text}
        title={guide?.about}
        aria-invalid={hasError(issues) || undefined}
        aria-describedby={issues.length > 0 ? issueId : undefined}
        onChange={(event) =>
          change(fieldWords(fields, path), [
            { kind: 'set', path, value: { typed: event.target.value } },
          ])
        }
      >
        {text !== 'true' && text !== 'false' && <option value={text}>{text || 'choose'}</option>}
        <option value="true">yes</option>
        <option value="false">no</option>
      </select>
    </FieldRow>
  );
}

/** x, y and perhaps z side by side. */
function PointField({ path, label, guide }: GuidedProps) {
  const { fields, problems } = useDescribe();
  const { id, issues } = useField(path);
  const issueId = useId();
  const letters = guide.fields;
  const inside = letters.flatMap((letter, i) =>
    (problems.byField.get(fieldKey([...path, i])) ?? []).map((each) => ({
      ...each,
      words: `${letter}: ${each.words}`,
    })),
  );
  const all = [...issues, ...inside];
  return (
    <FieldRow
      label={label}
      htmlFor={null}
      issues={all}
      issueId={issueId}
      required
      isOver={letters.length > 2}
    >
      <fieldset className="describe-point" aria-label={label} id={id} tabIndex={-1}>
        {letters.map((letter, index) => (
          <span className="describe-coordinate" key={letter}>
            <span className="describe-letter" aria-hidden="true">
              {letter}
            </span>
            <AmountInput
              path={[...path, index]}
              issueId={issueId}
              label={`${label} ${letter}`}
              invalid={hasError(issues)}
              isNarrow
              changesOf={(typed) => coordinateChanges(fields, path, index, typed, letters.length)}
            />
          </span>
        ))}
      </fieldset>
    </FieldRow>
  );
}

/** Values one below the other, each of which can be taken out. */
function ListField({ path, label }: { readonly path: FieldPath; readonly label: string }) {
  const { fields, problems, change, goTo, help } = useDescribe();
  const { id, node, issues, guide } = useField(path);
  const issueId = useId();
  const items = node?.kind === 'list' ? node.items : [];
  const inside = items.flatMap(
    (_, index) => problems.byField.get(fieldKey([...path, index])) ?? [],
  );
  const add = `${id}.add`;
  return (
    <FieldRow
      label={label}
      htmlFor={null}
      issues={[...issues, ...inside]}
      issueId={issueId}
      required
    >
      <fieldset className="describe-list" aria-label={label} id={id} tabIndex={-1}>
        {items.map((_, index) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: values have no other identity
          <span className="describe-list-item" key={index}>
            <AmountInput
              path={[...path, index]}
              issueId={issueId}
              label={`${label} ${index + 1}`}
              changesOf={(typed) => listChanges(path, index, typed, items.length)}
            />
            <button
              type="button"
              className="kit-button is-quiet"
              aria-label={`Remove ${label.toLowerCase()} ${index + 1}`}
              onClick={() => {
                change(fieldWords(fields, path), listChanges(path, index, '', items.length));
                document.getElementById(add)?.focus();
              }}
            >
              &times;
            </button>
          </span>
        ))}
        <button
          id={add}
          type="button"
          className="kit-button"
          aria-label={`Add to ${label.toLowerCase()}`}
          onFocus={() => guide && help({ about: guide.about, due: guide.due })}
          onBlur={() => help(null)}
          onClick={() => {
            const value = { typed: '' };
            change(fieldWords(fields, path), [{ kind: 'insert', path, index: 'end', value }]);
            goTo([...path, items.length]);
          }}
        >
          Add
        </button>
      </fieldset>
    </FieldRow>
  );
}

function listChanges(
  path: FieldPath,
  index: number,
  typed: string,
  count: number,
): ReturnType<typeof typedChanges> {
  const item = [...path, index];
  if (typed.trim() !== '') return [{ kind: 'set', path: item, value: { typed: typed.trim() } }];
  return [{ kind: 'remove', path: count === 1 ? path : item }];
}
