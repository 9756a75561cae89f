/** The part of the floor that is drawn under the cart, and the scale of arrows. */

import { useMemo } from 'react';
import type { Vec2 } from '../../../document/index.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import type { Posed } from '../use-posed.js';
import { drawnPoints, extentOf, floorPart, gridMesh } from './scene-view.js';
import type { Size } from './standing-drawing.js';

export interface Ground {
  /** opposite corners, whole meshes apart, m */
  readonly part: readonly [Vec2, Vec2];
  /** m */
  readonly mesh: number;
  readonly size: Size;
}

/** m: the floor goes on this far about the cart. */
const RIM = 0.28;

/** Changes in steps, so that what is made from it is not made anew at every frame of a drag. */
export function useGround(shown: Posed | null): Ground | null {
  const isInches = useWorkbench((s) => s.units === 'US');
  const key = shown === null ? null : JSON.stringify(groundOf(shown, isInches));
  return useMemo(() => (key === null ? null : (JSON.parse(key) as Ground)), [key]);
}

function groundOf({ cart, posed }: Posed, isInches: boolean): Ground {
  const { least, most } = extentOf(drawnPoints(cart, posed));
  const length = Math.max(most[0] - least[0], most[1] - least[1], most[2] - least[2]);
  const mesh = gridMesh(length, isInches ? 'US' : 'SI');
  const size = { length: 0.25 * Math.ceil(length / 0.25) };
  return { part: floorPart({ least, most }, mesh, RIM), mesh, size };
}
