/** The items of a list, each with its fields behind its name. */

import type { ReactNode } from 'react';
import { useEffect, useState } from 'react';
import type { FieldPath, NewItemKind } from '../../document/index.js';
import { newCartItem, nodeAt } from '../../document/index.js';
import { useWorkbenchStore } from '../kit/use-workbench.js';
import { useDescribe } from './describe-context.js';
import { countAt, fieldId, itemWords, nameOfItem, startsWith, textAt } from './field-address.js';
import { freeName, inputOf } from './field-inputs.js';
import { itemSummary } from './item-summary.js';
import { MapFields } from './map-fields.js';
import { errorsWithin } from './sections.js';

export interface ItemListProps {
  readonly path: FieldPath;
  readonly heading: string;
  /** what may be added, with the words of its button */
  readonly adds: readonly { readonly kind: NewItemKind; readonly words: string }[];
  readonly none: string;
  /** left out: all fields of the item */
  readonly body?: ((item: FieldPath) => ReactNode) | undefined;
  /** a control that is worth having without opening the item */
  readonly extra?: ((item: FieldPath) => ReactNode) | undefined;
}

export function ItemList({ path, heading, adds, none, body, extra }: ItemListProps) {
  const { fields, goal, goTo, change } = useDescribe();
  const [open, setOpen] = useState<ReadonlySet<number>>(new Set());
  const count = countAt(fields, path);
  useEffect(() => {
    const index = goal?.path[path.length];
    if (goal === null || !startsWith(goal.path, path) || typeof index !== 'number') return;
    // the item itself is asked for: its heading is enough
    if (goal.path.length > path.length + 1) setOpen((now) => new Set(now).add(index));
  }, [goal, path]);
  function toggle(index: number): void {
    const next = new Set(open);
    if (!next.delete(index)) next.add(index);
    setOpen(next);
  }
  return (
    <section className="describe-items" aria-label={heading}>
      <h3>{heading}</h3>
      {count === 0 && <p className="kit-soft">{none}</p>}
      <ol className="plain">
        {Array.from({ length: count }, (_, index) => (
          <Item
            // biome-ignore lint/suspicious/noArrayIndexKey: items may have no name, or the same one
            key={index}
            path={path}
            index={index}
            count={count}
            isOpen={open.has(index)}
            onToggle={() => toggle(index)}
            onOpen={setOpen}
            body={body}
            extra={extra}
          />
        ))}
      </ol>
      <div className="kit-row">
        {adds.map(({ kind, words }) => (
          <button
            key={kind}
            id={`${fieldId(path)}.add.${kind.replaceAll(' ', '-')}`}
            type="button"
            className="kit-button"
            onClick={() => {
              const value = newCartItem(kind, fields);
              if (
                !change(`${words.toLowerCase()}`, [{ kind: 'insert', path, index: 'end', value }])
              )
                return;
              goTo([...path, count, path.at(-1) === 'friction' ? 'tread' : 'name']);
            }}
          >
            {words}
          </button>
        ))}
      </div>
    </section>
  );
}

interface ItemProps extends Pick<ItemListProps, 'path' | 'body' | 'extra'> {
  readonly index: number;
  readonly count: number;
  readonly isOpen: boolean;
  readonly onToggle: () => void;
  readonly onOpen: (open: ReadonlySet<number>) => void;
}

function Item({ path, index, count, isOpen, onToggle, onOpen, body, extra }: ItemProps) {
  const describe = useDescribe();
  const { fields, problems } = describe;
  const item = [...path, index];
  const name = nameOfItem(fields, item);
  const errors = errorsWithin(problems, item);
  const summary = itemSummary(fields, item);
  const bodyId = `${fieldId(item)}.fields`;
  return (
    <li className="describe-item" data-open={isOpen || undefined}>
      <div className="describe-item-head">
        <button
          id={fieldId(item)}
          type="button"
          className="describe-item-name"
          aria-expanded={isOpen}
          aria-controls={isOpen ? bodyId : undefined}
          title={`${name} ${summary}`}
          onClick={onToggle}
        >
          <span className="describe-item-mark" aria-hidden="true">
            {isOpen ? '\u2212' : '+'}
          </span>
          <span className="describe-item-words">
            <span>{name === '' ? `${index + 1}, without a name` : name}</span>{' '}
            <span className="kit-soft">{summary}</span>
          </span>
          {errors > 0 && <Count errors={errors} />}
        </button>
        {extra?.(item)}
      </div>
      {isOpen && (
        <fieldset id={bodyId} className="describe-item-body" aria-label={itemWords(fields, item)}>
          {body === undefined ? <MapFields path={item} /> : body(item)}
          <ItemButtons path={path} index={index} count={count} onOpen={onOpen} />
        </fieldset>
      )}
    </li>
  );
}

export function Count({ errors }: { readonly errors: number }) {
  return (
    <span className="describe-count">
      {errors}
      <span className="kit-hidden"> {errors === 1 ? 'problem' : 'problems'}</span>
    </span>
  );
}

function ItemButtons({
  path,
  index,
  count,
  onOpen,
}: Pick<ItemProps, 'path' | 'index' | 'count' | 'onOpen'>) {
  const { fields, change, goTo } = useDescribe();
  const store = useWorkbenchStore();
  const item = [...path, index];
  const words = itemWords(fields, item);
  function move(to: number): void {
    if (!change(`${words} moved`, [{ kind: 'move', path: item, to }])) return;
    onOpen(new Set([to]));
    goTo([...path, to]);
  }
  function remove(): void {
    if (!change(`${words} removed`, [{ kind: 'remove', path: item }])) return;
    store.getState().say(`Removed ${words}. Undo brings it back.`);
    onOpen(new Set());
    goTo(count === 1 ? path : [...path, Math.min(index, count - 2)]);
  }
  function copy(): void {
    const node = nodeAt(fields, item);
    if (node?.kind !== 'map') return;
    const key = path.at(-1) === 'friction' ? 'tread' : 'name';
    const taken = Array.from({ length: count }, (_, i) => textAt(fields, [...path, i, key]));
    const value = inputOf(node);
    const { map } = value as { readonly map: Readonly<Record<string, typeof value>> };
    const named = { map: { ...map, [key]: freeName(nameOfItem(fields, item), taken) } };
    const made = { kind: 'insert', path, index: index + 1, value: named } as const;
    if (!change(`copy of ${words}`, [made])) return;
    onOpen(new Set([index + 1]));
    goTo([...path, index + 1, key]);
  }
  return (
    <div className="kit-row describe-item-buttons">
      <button
        type="button"
        className="kit-button is-quiet"
        disabled={index === 0}
        onClick={() => move(index - 1)}
      >
        Up
      </button>
      <button
        type="button"
        className="kit-button is-quiet"
        disabled={index === count - 1}
        onClick={() => move(index + 1)}
      >
        Down
      </button>
      <button type="button" className="kit-button is-quiet" onClick={copy}>
        Copy
      </button>
      <button type="button" className="kit-button is-quiet" onClick={remove}>
        Remove
      </button>
    </div>
  );
}
