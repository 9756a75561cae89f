/** The holding rose of what is shown, computed beside the page: the newest question wins. */

import { useEffect, useRef, useState } from 'react';
import type { HoldingRose } from '../../analysis/index.js';
import { useWorkbench, useWorkbenchStore } from '../kit/use-workbench.js';
import type { CastorsStand } from './holding-findings.js';

export type RoseState =
  | { readonly kind: 'none'; readonly words: string }
  | { readonly kind: 'rose'; readonly rose: HoldingRose; readonly of: string };

/** ms at rest before every castor is turned the worst way in every direction: it takes long. */
const SETTLED = 250;

export function useRose(finding: string | null, castors: CastorsStand) {
  const store = useWorkbenchStore();
  const cart = useWorkbench((s) => s.shown);
  const pose = useWorkbench((s) => s.pose);
  const set = useWorkbench((s) => s.set);
  const [state, setState] = useState<RoseState | null>(null);
  const [busy, setBusy] = useState(false);
  const work = useRef({ asks: false, again: null as (() => void) | null });
  // biome-ignore lint/correctness/useExhaustiveDependencies: cart, pose and set are what is asked of
  useEffect(() => {
    if (finding === null) return;
    const ask = async (): Promise<void> => {
      const { current } = work;
      if (current.asks) {
        current.again = () => void ask();
        return;
      }
      current.asks = true;
      setBusy(true);
      setState(await answered(store.getState().rose, finding, castors));
      current.asks = false;
      const { again } = current;
      current.again = null;
      if (again === null) setBusy(false);
      else again();
    };
    const timer = setTimeout(() => void ask(), castors === 'as posed' ? 0 : SETTLED);
    return () => clearTimeout(timer);
  }, [store, finding, castors, cart, pose, set]);
  return { state, busy };
}

async function answered(
  rose: (finding: string, castors: CastorsStand) => Promise<HoldingRose | null>,
  finding: string,
  castors: CastorsStand,
): Promise<RoseState> {
  try {
    const found = await rose(finding, castors);
    if (found === null) return { kind: 'none', words: 'The cart has nothing to push on.' };
    return { kind: 'rose', rose: found, of: castors };
  } catch (error) {
    const words = error instanceof Error ? error.message : String(error);
    return { kind: 'none', words: `It cannot be drawn: ${words}` };
  }
}
