/** One line that tells an item of a list from the others. */

import type { FieldNode, FieldPath } from '../../document/index.js';
import { nodeAt } from '../../document/index.js';
import { textAt } from './field-address.js';

/** @param item path of the item; the words leave out its name */
export function itemSummary(root: FieldNode, item: FieldPath): string {
  const text = (...path: FieldPath): string => textAt(root, [...item, ...path]);
  const list = String(item.at(-2));
  const is = (key: string): boolean => has(root, item, key);
  const words =
    list === 'positions' ? positionWords(root, item) : (summaries[list]?.(text, is) ?? []);
  const on = text('on');
  return [...words, on === '' ? '' : `on ${on}`].filter((each) => each.trim() !== '').join(', ');
}

type Text = (...path: FieldPath) => string;

function has(root: FieldNode, item: FieldPath, key: string): boolean {
  return nodeAt(root, [...item, key]) !== null;
}

const summaries: Readonly<Record<string, (text: Text, has: (key: string) => boolean) => string[]>> =
  {
    movers(text, is) {
      const kind = is('slide') ? 'slide' : is('turn') ? 'turn' : '';
      if (kind === '') return [];
      const axis = text(kind, 'axis');
      return [`${kind} ${axis}`, `${text(kind, 'from')} to ${text(kind, 'to')}`];
    },
    loads(text, is) {
      const kind = is('fluid') ? 'fluid' : is('removable') ? 'removable' : '';
      return kind === '' ? [] : [`${kind} ${text(kind, 'least')} to ${text(kind, 'most')}`];
    },
    'castor types': (text) => [text('wheel diameter'), text('tread')],
    castors: (text) => [`${text('at', 0)}, ${text('at', 1)}`, text('fixed') && 'fixed'],
    friction: (text) => [`${text('value')} \u00b1 ${text('tolerance')}`, text('basis')],
    outline(text, is) {
      const kind = is('box') ? 'box' : is('cylinder') ? 'cylinder' : '';
      return [kind, text('pushable') === 'true' ? 'pushable' : ''];
    },
    surfaces(text, is) {
      const kind = ['foothold', 'seat', 'work surface'].find(is) ?? '';
      return [kind, kind && text(kind, 'height') && `${text(kind, 'height')} high`];
    },
    handles: (_, is) => [is('lifting') ? 'lifting' : is('pushing') ? 'pushing' : ''],
  };

/** 'transport: lift 0 mm, arm 0 deg': what it holds movers to. */
function positionWords(root: FieldNode, item: FieldPath): string[] {
  const kind = ['transport', 'use'].find((each) => has(root, item, each));
  if (kind === undefined) return [];
  const node = nodeAt(root, [...item, kind]);
  const states = node?.kind === 'map' ? node.entries : [];
  const words = states.map(({ key, node: state }) => {
    const range = (end: string): string => textAt(root, [...item, kind, key, end]);
    return `${key} ${state.kind === 'scalar' ? state.text : `${range('from')} to ${range('to')}`}`;
  });
  return [`${kind}: ${words.length === 0 ? 'movers free' : words.join(', ')}`];
}
