/** What the drawing says of its scale. */

import { quantityText } from '../../../analysis/index.js';
import type { UnitSystem } from '../../../units/index.js';
import type { Projection } from './scene-view.js';

interface ScaleOfViewProps {
  /** m */
  readonly mesh: number;
  readonly units: UnitSystem;
  readonly projection: Projection;
  readonly masses: boolean;
}

export function ScaleOfView({ mesh, units, projection, masses }: ScaleOfViewProps) {
  return (
    <p className="scene-scale">
      floor grid {quantityText(mesh, 'length', units)}
      {projection === 'parallel' ? ', one scale everywhere' : ', perspective'}
      {masses && ', masses as balls of steel'}
    </p>
  );
}
