/** The parts as a table to type in, as in a spreadsheet. Only the rows in sight are drawn, so that many
 * hundred parts stay quick. */

import './parts-table.css';
import { useVirtualizer } from '@tanstack/react-virtual';
import type { ClipboardEvent, KeyboardEvent, MouseEvent, PointerEvent } from 'react';
import {
  memo,
  useCallback,
  useEffect,
  useId,
  useLayoutEffect,
  useMemo,
  useRef,
  useState,
} from 'react';
import type { FieldNode, PartsList } from '../../document/index.js';
import { nodeAt } from '../../document/index.js';
import type { UnitSystem } from '../../units/index.js';
import { formatQuantity } from '../../units/index.js';
import { useWorkbench } from '../kit/use-workbench.js';
import { useDescribe } from './describe-context.js';
import { Grip, Issues } from './field.js';
import { countAt, fieldKey, fieldWords, itemWords, textAt } from './field-address.js';
import { statedValues } from './list-parts.js';
import type { Cell, GridColumn, Held, Span } from './parts-grid.js';
import {
  COLUMNS,
  cellChanges,
  cellOfPath,
  cellPath,
  clearChanges,
  copyText,
  issuePaths,
  kept,
  spanOf,
} from './parts-grid.js';
import type { Problems } from './sections.js';
import { inOtherUnits } from './typed-amount.js';
import { useCanScrub, useScrub } from './use-scrub.js';

export interface PartsTableProps {
  readonly isWide: boolean;
  readonly active: Cell;
  readonly anchor: Cell;
  readonly onSelect: (active: Cell, anchor: Cell) => void;
  readonly onPaste: (text: string, at: Cell) => void;
  readonly onAdd: (after: number) => void;
  readonly onRemove: (span: Span) => void;
  readonly onMove: (span: Span, by: number) => void;
}

interface Editing {
  readonly cell: Cell;
  /** what the editor begins with */
  readonly text: string;
  /** begun by typing over: the arrows up and down then leave the cell */
  readonly isTypedOver: boolean;
}

/** There is one table at a time. */
export const GRID_ID = 'parts-grid';

/** px */
const ROW = 28;
const TALL_ROW = 40;
const MORE_FOR_UNITS = 14;

export function PartsTable(props: PartsTableProps) {
  const { active, anchor, onSelect } = props;
  const isRoomy = useMedia('(max-width: 1199px) and (min-width: 780px)');
  const isWide = props.isWide || isRoomy;
  const { fields, problems, units, goal, reached, change } = useDescribe();
  const grid = useRef<HTMLDivElement>(null);
  const [editing, setEditing] = useState<Editing | null>(null);
  // Tab goes through the page until somebody begins to work in the table
  const isAtWork = useRef(false);
  const helpId = useId();
  const issueId = useId();
  const parts = nodeAt(fields, ['parts']);
  const items = parts?.kind === 'list' ? parts.items : [];
  const rows = items.length;
  const stated = useStated(fields);
  const rowHeight = useRowHeight(items, units, stated);
  const virtual = useVirtualizer({
    count: rows,
    getScrollElement: () => grid.current,
    estimateSize: () => rowHeight,
    overscan: 6,
    useFlushSync: false,
  });
  // biome-ignore lint/correctness/useExhaustiveDependencies: heights are measured anew when they change
  useEffect(() => virtual.measure(), [virtual, rowHeight]);
  const span = useMemo(() => spanOf(active, anchor), [active, anchor]);
  const column = COLUMNS[active.column];
  const activePath = cellPath(active);
  const activeText = textAt(fields, activePath);
  const dimension = column?.dimension ?? null;
  const scrub = useScrub(() =>
    dimension === null ? null : { path: activePath, text: activeText, dimension },
  );
  const canScrub = useCanScrub(activePath, activeText, dimension) && dimension !== null;
  const issues = issuePaths(active).flatMap((path) => problems.byField.get(fieldKey(path)) ?? []);

  // what the rows call stays the same from key to key, so that only the rows concerned are drawn anew
  const now = useRef({ active, anchor, fields, stated, rows });
  useLayoutEffect(() => {
    now.current = { active, anchor, fields, stated, rows };
  });

  const select = useCallback(
    (to: Cell, extend = false): void => {
      const cell = kept(to, now.current.rows);
      onSelect(cell, extend ? now.current.anchor : cell);
      virtual.scrollToIndex(cell.row);
      revealColumn(grid.current, cell.column, isWide);
    },
    [isWide, onSelect, virtual],
  );

  useEffect(() => {
    const cell = goal === null ? null : cellOfPath(goal.path);
    if (goal === null || cell === null || goal.path.length < 2) return;
    onSelect(cell, cell);
    virtual.scrollToIndex(cell.row);
    revealColumn(grid.current, cell.column, isWide);
    isAtWork.current = true;
    grid.current?.focus();
    reached(goal);
  }, [goal, isWide, onSelect, reached, virtual]);

  const commit = useCallback(
    (cell: Cell, text: string, move: readonly [number, number] | null): void => {
      setEditing(null);
      const root = now.current.fields;
      if (text !== textAt(root, cellPath(cell))) {
        const part = nodeAt(root, ['parts', cell.row]);
        const changes = cellChanges(root, cell, text, part && now.current.stated(part));
        if (changes.length > 0) change(fieldWords(root, cellPath(cell)), changes);
      }
      if (move === null) return;
      const [down, right] = move;
      select({ row: cell.row + down, column: cell.column + right });
      grid.current?.focus();
    },
    [change, select],
  );
  const cancel = useCallback((): void => {
    setEditing(null);
    grid.current?.focus();
  }, []);

  function edit(text: string, isTypedOver: boolean): void {
    if (rows === 0) return;
    virtual.scrollToIndex(active.row);
    setEditing({ cell: active, text, isTypedOver });
  }

  function onKeyDown(event: KeyboardEvent): void {
    if (event.target !== event.currentTarget || scrub.onKey(event)) return;
    const done = onGridKey(event, {
      ...props,
      rows,
      span,
      select,
      edit: () => edit(activeText, false),
      clear: () => clear(span),
      isAtWork,
    });
    if (done) {
      event.preventDefault();
      return;
    }
    const isText = event.key.length === 1 && !event.ctrlKey && !event.metaKey && !event.altKey;
    if (!isText) return;
    event.preventDefault();
    isAtWork.current = true;
    edit(event.key, true);
  }

  function clear(of: Span): void {
    const changes = clearChanges(fields, of);
    if (changes.length === 0) return;
    const isOne = of.top === of.bottom && of.left === of.right;
    change(isOne ? `${fieldWords(fields, activePath)} cleared` : 'cells cleared', changes);
  }

  function onCopy(event: ClipboardEvent, isCut: boolean): void {
    if (event.target !== event.currentTarget) return;
    event.preventDefault();
    event.clipboardData.setData('text/plain', copyText(fields, span));
    if (isCut) clear(span);
  }

  function onPaste(event: ClipboardEvent): void {
    if (event.target !== event.currentTarget) return;
    event.preventDefault();
    props.onPaste(event.clipboardData.getData('text/plain'), { row: span.top, column: span.left });
  }

  const onCell = useCallback(
    (event: MouseEvent | PointerEvent, cell: Cell): void => {
      const { active: there, anchor: from, fields: root } = now.current;
      isAtWork.current = true;
      const isTouch =
        'pointerType' in event.nativeEvent && event.nativeEvent.pointerType === 'touch';
      const isSame = cell.row === there.row && cell.column === there.column;
      const isEdit =
        event.type === 'dblclick' ||
        // a second tap opens the editor, as a touch screen has no other way to it
        (event.type === 'click' && isTouch && isSame);
      if (isEdit) setEditing({ cell, text: textAt(root, cellPath(cell)), isTypedOver: false });
      else if (event.type === (isTouch ? 'click' : 'pointerdown')) select(cell, event.shiftKey);
      else if (event.type === 'pointerenter' && event.buttons === 1 && !isTouch) {
        onSelect(cell, from);
      }
    },
    [onSelect, select],
  );

  return (
    <div className="parts-table" data-wide={props.isWide || undefined}>
      {/* biome-ignore lint/a11y/useSemanticElements: a table to type in, of which only a part is drawn */}
      <div
        ref={grid}
        id={GRID_ID}
        role="grid"
        aria-label="Parts"
        aria-rowcount={rows + 1}
        aria-colcount={COLUMNS.length}
        aria-multiselectable="true"
        aria-activedescendant={rows === 0 ? undefined : cellId(active)}
        aria-describedby={helpId}
        tabIndex={0}
        className="parts-table-grid"
        onKeyDown={onKeyDown}
        onKeyUp={scrub.onKeyUp}
        onMouseDown={(event) => {
          // the keys are the grid's, not those of the cell that is pressed
          if (event.target === event.currentTarget || event.target instanceof HTMLInputElement)
            return;
          event.preventDefault();
          event.currentTarget.focus({ preventScroll: true });
        }}
        onBlur={(event) => {
          scrub.release();
          if (
            event.target === event.currentTarget &&
            !event.currentTarget.contains(event.relatedTarget)
          )
            isAtWork.current = false;
        }}
        onCopy={(event) => onCopy(event, false)}
        onCut={(event) => onCopy(event, true)}
        onPaste={onPaste}
      >
        <Head isWide={isWide} />
        {/* biome-ignore lint/a11y/useSemanticElements: as above */}
        <div
          role="rowgroup"
          className="parts-table-body"
          style={{ height: virtual.getTotalSize() }}
        >
          {virtual.getVirtualItems().map(({ index, start }) => (
            <Row
              key={index}
              isWide={isWide}
              index={index}
              top={start}
              height={rowHeight}
              part={items[index] as FieldNode}
              problems={problems}
              units={units}
              stated={stated(items[index] as FieldNode)}
              active={active.row === index ? active.column : -1}
              left={index >= span.top && index <= span.bottom ? span.left : -1}
              right={index >= span.top && index <= span.bottom ? span.right : -1}
              live={active.row === index ? scrub.live : null}
              editing={editing?.cell.row === index ? editing : null}
              onGrip={active.row === index && canScrub ? scrub.onPointerDown : null}
              onCell={onCell}
              onCommit={commit}
              onCancel={cancel}
            />
          ))}
        </div>
      </div>
      <p id={helpId} className="kit-hidden">
        Arrows move, Enter or F2 edits, typing replaces, Tab goes right, Delete clears; Escape and
        then Tab leaves the table.
      </p>
      <TotalMass rows={rows} />
      <div role="status">
        <Issues id={issueId} issues={issues} />
      </div>
    </div>
  );
}

function cellId({ row, column }: Cell): string {
  return `parts-cell-${row}-${column}`;
}

function widthOf({ width, wideWidth }: GridColumn, isWide: boolean): number {
  return isWide ? wideWidth : width;
}

/** Up to a column; of all where none is given. */
function widthBefore(isWide: boolean, column = COLUMNS.length): number {
  return COLUMNS.slice(0, column).reduce((sum, each) => sum + widthOf(each, isWide), 0);
}

/** The first column stays in sight and covers what is under it. */
function revealColumn(grid: HTMLElement | null, column: number, isWide: boolean): void {
  if (grid === null || column === 0) return;
  const left = widthBefore(isWide, column);
  const right = widthBefore(isWide, column + 1);
  const pinned = widthBefore(isWide, 1);
  if (right > grid.scrollLeft + grid.clientWidth) grid.scrollLeft = right - grid.clientWidth;
  else if (left - pinned < grid.scrollLeft) grid.scrollLeft = left - pinned;
}

interface GridKeys extends Pick<PartsTableProps, 'active' | 'onAdd' | 'onRemove' | 'onMove'> {
  readonly rows: number;
  readonly span: Span;
  readonly select: (to: Cell, extend?: boolean) => void;
  readonly edit: () => void;
  readonly clear: () => void;
  readonly isAtWork: { current: boolean };
}

const PAGE = 12;

/** @returns false for a key that is none of the table's */
function onGridKey(event: KeyboardEvent, keys: GridKeys): boolean {
  const { active, rows, span, select, isAtWork } = keys;
  const { key, shiftKey } = event;
  const isCtrl = event.ctrlKey || event.metaKey;
  const { row, column } = active;
  const moves: Readonly<Record<string, Cell>> = {
    ArrowUp: { row: isCtrl ? 0 : row - 1, column },
    ArrowDown: { row: isCtrl ? rows - 1 : row + 1, column },
    ArrowLeft: { row, column: isCtrl ? 0 : column - 1 },
    ArrowRight: { row, column: isCtrl ? COLUMNS.length - 1 : column + 1 },
    PageUp: { row: row - PAGE, column },
    PageDown: { row: row + PAGE, column },
    Home: { row: isCtrl ? 0 : row, column: 0 },
    End: { row: isCtrl ? rows - 1 : row, column: COLUMNS.length - 1 },
  };
  const to = moves[key];
  if (event.altKey) {
    if (!shiftKey || (key !== 'PageUp' && key !== 'PageDown')) return false;
    keys.onMove(span, key === 'PageUp' ? -1 : 1);
    return true;
  }
  if (to !== undefined) {
    isAtWork.current = true;
    select(to, shiftKey);
    return true;
  }
  switch (key) {
    case 'Tab':
      return tabbed(shiftKey ? -1 : 1, keys);
    case 'Escape':
      isAtWork.current = false;
      return false;
    case 'Enter':
      isAtWork.current = true;
      if (isCtrl) keys.onAdd(row);
      else keys.edit();
      return true;
    case 'F2':
      isAtWork.current = true;
      keys.edit();
      return true;
    case 'Delete':
    case 'Backspace':
      if (isCtrl) keys.onRemove(span);
      else keys.clear();
      return true;
    case 'a':
      if (!isCtrl) return false;
      select({ row: 0, column: 0 });
      select({ row: rows - 1, column: COLUMNS.length - 1 }, true);
      return true;
    default:
      return false;
  }
}

/** To the next cell, over the end of a row too; out of the table at its ends. */
function tabbed(by: number, { active, rows, select, isAtWork }: GridKeys): boolean {
  if (!isAtWork.current) return false;
  const next = active.row * COLUMNS.length + active.column + by;
  if (next < 0 || next >= rows * COLUMNS.length) return false;
  select({ row: Math.floor(next / COLUMNS.length), column: next % COLUMNS.length });
  return true;
}

const Head = memo(function Head({ isWide }: { readonly isWide: boolean }) {
  return (
    // biome-ignore lint/a11y/useSemanticElements: as the grid
    <div role="rowgroup" className="parts-table-head" style={{ minWidth: widthBefore(isWide) }}>
      {/* biome-ignore lint/a11y/useSemanticElements: as the grid */}
      <div role="row" aria-rowindex={1} className="parts-table-row" tabIndex={-1}>
        {COLUMNS.map((column, index) => (
          // biome-ignore lint/a11y/useSemanticElements: as the grid
          <div
            key={column.id}
            role="columnheader"
            aria-colindex={index + 1}
            aria-label={column.spoken}
            className="parts-table-heading"
            data-column={column.id}
            style={{ flexBasis: widthOf(column, isWide) }}
            tabIndex={-1}
          >
            {column.words}
          </div>
        ))}
      </div>
    </div>
  );
});

interface RowProps {
  readonly isWide: boolean;
  readonly index: number;
  readonly top: number;
  readonly height: number;
  readonly part: FieldNode;
  readonly problems: Problems;
  readonly units: UnitSystem;
  readonly stated: Stated | null;
  /** column of the active cell; -1: it is in another row */
  readonly active: number;
  readonly left: number;
  readonly right: number;
  readonly live: string | null;
  readonly editing: Editing | null;
  readonly onGrip: ((event: PointerEvent) => void) | null;
  readonly onCell: (event: MouseEvent | PointerEvent, cell: Cell) => void;
  readonly onCommit: (cell: Cell, text: string, move: readonly [number, number] | null) => void;
  readonly onCancel: () => void;
}

const Row = memo(function Row(props: RowProps) {
  const { index, top, height, part, left, right, active, isWide } = props;
  return (
    // biome-ignore lint/a11y/useSemanticElements: as the grid
    <div
      role="row"
      aria-rowindex={index + 2}
      className="parts-table-row"
      style={{ transform: `translateY(${top}px)`, height, minWidth: widthBefore(isWide) }}
      tabIndex={-1}
    >
      {COLUMNS.map((column, at) => (
        <GridCell
          key={column.id}
          {...props}
          column={column}
          cell={{ row: index, column: at }}
          text={textAt(part, column.path)}
          isActive={active === at}
          isSelected={at >= left && at <= right}
        />
      ))}
    </div>
  );
});

function GridCell({
  column,
  cell,
  text,
  isActive,
  isSelected,
  ...props
}: RowProps & {
  readonly column: GridColumn;
  readonly cell: Cell;
  readonly text: string;
  readonly isActive: boolean;
  readonly isSelected: boolean;
}) {
  const { problems, units, stated, editing, live, onGrip, onCell } = props;
  const issues = issuePaths(cell).flatMap((path) => problems.byField.get(fieldKey(path)) ?? []);
  const isInvalid = issues.some(({ issue }) => issue.severity === 'error');
  const shown = (isActive ? live : null) ?? text;
  const fromList = shown === '' ? (stated?.[column.id as keyof Stated] ?? '') : '';
  const other = inOtherUnits(shown || fromList, column.dimension, units);
  const isEdited = editing?.cell.column === cell.column;
  const words = issues.map((each) => each.words).join('\n');
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: the keys are those of the grid
    // biome-ignore lint/a11y/useAriaPropsSupportedByRole: the role is one of two that have it
    // biome-ignore lint/a11y/useKeyWithClickEvents: the keys are those of the grid
    <div
      id={cellId(cell)}
      role={column.id === 'name' ? 'rowheader' : 'gridcell'}
      aria-colindex={cell.column + 1}
      aria-selected={isSelected}
      aria-invalid={isInvalid || undefined}
      className="parts-table-cell"
      data-column={column.id}
      data-active={isActive || undefined}
      style={{ flexBasis: widthOf(column, props.isWide) }}
      title={words === '' ? shown || fromList || undefined : words}
      tabIndex={-1}
      onPointerDown={(event) => {
        if (isEdited) return;
        onCell(event, cell);
      }}
      onPointerEnter={(event) => {
        if (event.buttons === 1) onCell(event, cell);
      }}
      onClick={(event) => {
        if (!isEdited) onCell(event, cell);
      }}
      onDoubleClick={(event) => onCell(event, cell)}
    >
      {isEdited && editing !== null ? (
        <CellEditor {...props} editing={editing} column={column} />
      ) : (
        <>
          <span className="parts-table-text">
            {shown === '' && fromList !== '' ? (
              <span className="parts-table-stated">{fromList}</span>
            ) : (
              shown
            )}
          </span>
          {other !== '' && <span className="parts-table-other">{other}</span>}
          {isInvalid && (
            <span className="parts-table-mark" aria-hidden="true">
              !
            </span>
          )}
          {isActive && onGrip !== null && (
            <span className="parts-table-grip">
              <Grip
                onPointerDown={(event) => {
                  event.stopPropagation();
                  onGrip(event);
                }}
              />
            </span>
          )}
        </>
      )}
    </div>
  );
}

function CellEditor({
  editing,
  column,
  onCommit,
  onCancel,
}: Pick<RowProps, 'onCommit' | 'onCancel'> & {
  readonly editing: Editing;
  readonly column: GridColumn;
}) {
  const [text, setText] = useState(editing.text);
  const isOver = useRef(false);
  const listId = useId();
  function finish(move: readonly [number, number] | null): void {
    if (isOver.current) return;
    isOver.current = true;
    onCommit(editing.cell, text, move);
  }
  function onKeyDown(event: KeyboardEvent): void {
    event.stopPropagation();
    if (event.nativeEvent.isComposing) return;
    const back = event.shiftKey ? -1 : 1;
    const arrows = { ArrowUp: [-1, 0], ArrowDown: [1, 0] } as const;
    if (event.key === 'Enter') finish([back, 0]);
    else if (event.key === 'Tab') finish([0, back]);
    else if (editing.isTypedOver && column.dimension !== null && event.key in arrows) {
      finish(arrows[event.key as keyof typeof arrows]);
    } else if (event.key === 'Escape') {
      isOver.current = true;
      onCancel();
    } else {
      // what is being typed belongs to what is saved
      if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === 's') finish([0, 0]);
      return;
    }
    event.preventDefault();
  }
  return (
    <>
      <input
        // biome-ignore lint/a11y/noAutofocus: the user asked for the editor
        autoFocus
        type="text"
        className="parts-table-editor"
        aria-label={column.spoken}
        value={text}
        spellCheck={false}
        autoComplete="off"
        list={column.id === 'on' || column.id === 'from list' ? listId : undefined}
        onChange={(event) => setText(event.target.value)}
        onKeyDown={onKeyDown}
        onBlur={() => finish(null)}
      />
      {(column.id === 'on' || column.id === 'from list') && (
        <NameChoices id={listId} column={column.id} />
      )}
    </>
  );
}

function NameChoices({ id, column }: { readonly id: string; readonly column: string }) {
  const { fields } = useDescribe();
  const list = useNamedList(fields);
  const count = countAt(fields, ['movers']);
  const movers = Array.from({ length: count }, (_, i) => textAt(fields, ['movers', i, 'name']));
  const names = column === 'on' ? movers : (list?.rows.map((row) => row.name) ?? []);
  return (
    <datalist id={id}>
      {[...new Set(names)].map((name) => (
        <option key={name} value={name} />
      ))}
    </datalist>
  );
}

function useNamedList(fields: FieldNode): PartsList | null {
  const name = textAt(fields, ['parts list']);
  return useWorkbench((s) => s.partsLists.get(name)?.list ?? null);
}

interface Stated extends Held {
  readonly mass: string;
}

/** What the parts list says of a part that takes its mass from there. */
export function useStated(fields: FieldNode): (part: FieldNode) => Stated | null {
  const list = useNamedList(fields);
  return useMemo(() => {
    const rows = new Map(
      (list?.rows ?? []).map((row): [string, Stated] => {
        const { mass, tolerance, at } = statedValues(row, list ?? NO_UNITS);
        const [x = '', y = '', z = ''] = at ?? [];
        return [row.name, { mass, tolerance: tolerance ?? '', x, y, z }];
      }),
    );
    return (part) => rows.get(textAt(part, ['from list']).replace(/\s+/g, ' ').trim()) ?? null;
  }, [list]);
}

const NO_UNITS = { massUnit: null, placeUnit: null };

/** Taller on a touch screen, and where a value is shown in other units below the one typed. */
function useRowHeight(
  items: readonly FieldNode[],
  units: UnitSystem,
  stated: (part: FieldNode) => Stated | null,
): number {
  const isTouch = useMedia('(max-width: 1199px), (pointer: coarse)');
  const isDouble = useMemo(
    () =>
      items.some((part) => {
        const row = stated(part);
        return COLUMNS.some(({ id, path, dimension }) => {
          if (dimension === null) return false;
          const text = textAt(part, path) || (row?.[id as keyof Stated] ?? '');
          return inOtherUnits(text, dimension, units) !== '';
        });
      }),
    [items, units, stated],
  );
  return (isTouch ? TALL_ROW : ROW) + (isDouble && !isTouch ? MORE_FOR_UNITS : 0);
}

function useMedia(query: string): boolean {
  const [matches, setMatches] = useState(() => matchMedia(query).matches);
  useEffect(() => {
    const media = matchMedia(query);
    const look = (): void => setMatches(media.matches);
    look();
    media.addEventListener('change', look);
    return () => media.removeEventListener('change', look);
  }, [query]);
  return matches;
}

function TotalMass({ rows }: { readonly rows: number }) {
  const units = useDescribe().units;
  const isReadable = useWorkbench((s) => s.reading.cart !== null);
  const mass = useWorkbench(
    (s) => s.shown?.parts.reduce((sum, part) => sum + part.mass, 0) ?? null,
  );
  const count = rows === 1 ? '1 part' : `${rows} parts`;
  return (
    <p className="parts-table-foot">
      <span>{count}</span>
      <span>
        {mass !== null && isReadable ? (
          <>
            Total mass of the parts <b>{inUnits(mass, units)}</b>
          </>
        ) : (
          'Total mass not known yet'
        )}
      </span>
    </p>
  );
}

function inUnits(mass: number, units: UnitSystem): string {
  return formatQuantity(mass, 'mass', units, { digits: 5 });
}

/** The parts of a span, in words. */
export function partsWords(fields: FieldNode, { top, bottom }: Span): string {
  return top === bottom ? itemWords(fields, ['parts', top]) : `${bottom - top + 1} parts`;
}
