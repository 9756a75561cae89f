import { describe, expect, it } from 'vitest';
import { poseCart, startPose } from '../../src/analysis/index.js';
import { editCart } from '../../src/document/index.js';
import { pairOf, placeEdits } from '../../src/web/see/scene/place-edits.js';
import { exampleCart } from '../analysis/example-carts.js';

const cart = await exampleCart('telehealth-four-locks.cart.yaml');
const pose = startPose(cart, 'in use');
const posed = poseCart(cart, pose);
const stand = await exampleCart('fluid-stand-five-star.cart.yaml');

describe('a part that is dragged', () => {
  it('goes the way it is seen to go, also on an arm that is turned', () => {
    const turned = poseCart(cart, { ...pose, movers: { ...pose.movers, arm: Math.PI / 2 } });
    const edits = placeEdits(cart, turned, { kind: 'part', name: 'display' }, [0.05, 0, 0], false);
    const there = poseCart(editCart(cart, edits), {
      ...pose,
      movers: { ...pose.movers, arm: Math.PI / 2 },
    });
    const of = ({ masses }: typeof there) => masses.find(({ name }) => name === 'display');
    const [before, after] = [of(turned), of(there)];
    expect((after?.at[0] ?? 0) - (before?.at[0] ?? 0)).toBeCloseTo(0.05, 9);
    expect((after?.at[1] ?? 0) - (before?.at[1] ?? 0)).toBeCloseTo(0, 9);
  });

  it('is put at whole millimetres, and what does not move keeps its number', () => {
    const way = [0.01234, 0.0001, 0] as const;
    const part = cart.parts.find(({ name }) => name === 'basket');
    const [edit] = placeEdits(cart, posed, { kind: 'part', name: 'basket' }, way, false);
    expect(edit?.kind).toBe('part place');
    if (edit?.kind !== 'part place' || part === undefined) return;
    expect(edit.at).toEqual([0.162, part.at[1], part.at[2]]);
  });

  it('makes no change where it comes back to its place, and of an unknown name', () => {
    expect(placeEdits(cart, posed, { kind: 'part', name: 'basket' }, [0, 0, 0], false)).toEqual([]);
    expect(placeEdits(cart, posed, { kind: 'part', name: 'none' }, [1, 0, 0], false)).toEqual([]);
  });
});

describe('a castor that is dragged', () => {
  const what = { kind: 'castor', name: 'front left' } as const;

  it('takes its pair along as its mirror image', () => {
    expect(placeEdits(cart, posed, what, [0.02, -0.03, 0.5], true)).toEqual([
      { kind: 'castor place', castor: 'front left', at: [0.34, 0.27] },
      { kind: 'castor place', castor: 'front right', at: [0.34, -0.27] },
    ]);
  });

  it('goes alone where that is asked', () => {
    expect(placeEdits(cart, posed, what, [0.02, 0, 0], false)).toHaveLength(1);
  });

  it('has no pair where none stands opposite, or it stands in the middle', () => {
    const front = stand.castors.find(({ name }) => name === 'front');
    expect(front && pairOf(stand.castors, front)).toBeNull();
    const left = cart.castors.filter(({ at }) => at[1] > 0);
    expect(left[0] && pairOf(left, left[0])).toBeNull();
  });
});
