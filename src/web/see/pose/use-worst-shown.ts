/** Whether what is shown is the worst configuration of the finding that is chosen. */

import { useMemo } from 'react';
import type { Finding, Pose } from '../../../analysis/index.js';
import { poseOfWorst } from '../../../analysis/index.js';
import { useWorkbench } from '../../kit/use-workbench.js';

/** The proven finding whose worst configuration is the pose shown; null: it is another pose. */
export function useWorstShown(): Finding | null {
  const cart = useWorkbench((s) => s.shown);
  const set = useWorkbench((s) => s.set);
  const pose = useWorkbench((s) => s.pose);
  const finding = useWorkbench((s) =>
    s.finding === null ? null : s.proven.get(s.finding)?.finding,
  );
  const worst = useMemo(() => {
    if (cart === null || !finding) return null;
    try {
      return keyOf(poseOfWorst(cart, set, finding));
    } catch (error) {
      // the finding is of the cart of a moment ago
      if (error instanceof RangeError) return null;
      throw error;
    }
  }, [cart, set, finding]);
  return useMemo(
    () => (finding && worst !== null && worst === keyOf(pose) ? finding : null),
    [finding, worst, pose],
  );
}

function keyOf(pose: Pose | null): string | null {
  if (pose === null) return null;
  const sorted = (record: Readonly<Record<string, number>>) => Object.entries(record).sort();
  const { movers, loads, swivels, ...rest } = pose;
  return JSON.stringify([
    sorted(movers),
    sorted(loads),
    sorted(swivels),
    rest.position,
    rest.incline,
    rest.push,
    rest.press,
    rest.without,
  ]);
}
