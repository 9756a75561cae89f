import { describe, expect, it } from 'vitest';
import type { HoldingRose } from '../../src/analysis/index.js';
import { ElevationView, HoldingRoseFigure, MarginBars, PlanView } from '../../src/figure/index.js';
import { draw, normalised } from './drawn.js';
import { sceneOf, smallCart } from './small-scene.js';

/** What changes in a drawing is looked at before its snapshot is written anew. */
describe('drawn as before', () => {
  const incline = { angle: Math.PI / 36, downhill: 0 };
  const scene = sceneOf(smallCart(), { incline, movers: { arm: Math.PI / 6 } });

  it('a plan', () => {
    expect(normalised(draw(<PlanView {...scene} units="SI" />))).toMatchSnapshot();
  });

  it('an elevation', () => {
    expect(normalised(draw(<ElevationView {...scene} units="SI" from="side" />))).toMatchSnapshot();
  });

  it('a holding rose', () => {
    const rays = [60, 100, 150, 1e4].map((capacity, i) => ({
      direction: (i * Math.PI) / 2,
      demand: 80,
      capacity,
      stated: { value: capacity, dimension: 'force' } as const,
      mode: { kind: 'slides', direction: (i * Math.PI) / 2 } as const,
      swivels: {},
    }));
    const rose: HoldingRose = { finding: 'push', load: 'push', rays, least: 0 };
    expect(normalised(draw(<HoldingRoseFigure rose={rose} units="SI" />))).toMatchSnapshot();
  });

  it('margin bars', () => {
    const row = {
      id: 'push',
      title: 'Held against a push',
      value: {
        verdict: 'fails',
        demand: { value: 80, dimension: 'force' },
        capacity: { value: 60, dimension: 'force' },
        sense: 'at least',
        found: 0.75,
        proven: 0.7,
        posed: 1.2,
      },
    } as const;
    expect(normalised(draw(<MarginBars rows={[row]} units="SI" />))).toMatchSnapshot();
  });
});
