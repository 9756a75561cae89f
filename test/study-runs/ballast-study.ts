/** A study that is quick to screen and to prove, and whose front has several variants. */

import type { Study, StudyFactor } from '../../src/studies/index.js';
import { builtIn, simpleCart } from '../analysis/simple-cart.js';

/** Clauses that take a few ms each. */
const QUICK = ['overbalance-transport', 'horizontal-force', 'threshold', 'castor-rating'];

/** m: the front castors stand so much farther out than on the simple cart */
const WIDENED = [0, 0.01, 0.02, 0.03, 0.04, 0.05];

function factor(name: string, options: StudyFactor['options'][number][]): StudyFactor {
  const [first, ...others] = options;
  if (first === undefined) throw new Error(`factor ${name} has an option`);
  return { name, options: [first, ...others] };
}

/** @param ballasts kinds of ballast: there are six times as many variants */
export function ballastStudy(name: string, ballasts: number): Study {
  const ballast = Array.from({ length: ballasts }, (_, i) => (i + 1) / 3);
  return {
    name,
    cart: simpleCart([0.02, 0, 0.6], { name: 'Kit trolley of the lakeside clinic' }),
    requirementSet: builtIn('iec-60601-1-3.2'),
    only: QUICK,
    margin: 0.1,
    factors: [
      factor(
        'ballast',
        ballast.map((mass) => ({
          label: `${mass.toFixed(2)} kg`,
          edits: [{ kind: 'add part', name: 'ballast', mass, at: [0, 0, 0.1], on: null }],
          cost: 2 * mass,
        })),
      ),
      factor(
        'width in front',
        WIDENED.map((wider) => ({
          label: `${(1000 * wider).toFixed(0)} mm wider`,
          edits: [
            { kind: 'castor place', castor: 'front left', at: [0.28, 0.28 + wider] },
            { kind: 'castor place', castor: 'front right', at: [0.28, -0.28 - wider] },
          ],
          cost: 100 * wider,
        })),
      ),
    ],
    aims: [
      { of: 'mass', wanted: 'least' },
      { of: 'margin', wanted: 'greatest' },
    ],
    currency: 'EUR',
    proofs: 3,
  };
}
