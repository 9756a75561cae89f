/** A study of the small cart with one thing on each line, its catalogue, and ways to read them. */

import type { CastorCatalogue, Issue, StudyPlan } from '../../src/document/index.js';
import {
  planStudy,
  readCart,
  readCastorCatalogue,
  readStudyFile,
  sentence,
} from '../../src/document/index.js';
import { SMALL_CART } from './small-cart.js';

export const SMALL_STUDY = `standstill study: 1
name: Small study
cart: small.cart.yaml
findings: [overbalance]
margin: 10 %
currency: EUR
proofs: 4
wanted:
  - least mass
  - greatest margin
vary:
  - name: castors
    castor catalogue:
      file: castors.csv
      castors: [front left, front right, rear]
      mass of: base
      friction:
        - {tread: soft, value: 0.8, tolerance: 0.2, basis: measured}
  - name: locks
    lock layouts:
      brake torque: 9 Nm
      layouts:
        - name: front left only
          locks: {front left: total}
          cost: 5
        - name: front right
          locks: {front right: {lock: wheel, brake torque: outlasts the tread}}
  - name: wider by
    widen:
      by: [0 mm, 25 mm]
  - name: longer by
    lengthen:
      by: {from: 0 mm, to: 30 mm, values: 4}
      castors: [rear]
  - name: ballast
    ballast:
      mass: [0 kg, 2 kg]
      at: [0 mm, 0 mm, 80 mm]
      cost per kg: 3
  - name: payload
    payloads:
      - name: full bag
        parts: {head: 6 kg}
        loads: {bag: full, supplies: absent}
      - name: as it is
  - name: arm in use
    limit:
      mover: lift
      position: in use
      at most: [400 mm, 300 mm]
  - name: signs
    markings:
      - {name: none, signs: []}
      - {name: no pushing, signs: [no pushing], cost: 1}
  - name: floor
    friction:
      - name: waxed
        friction: [{tread: grey rubber, value: 0.4, tolerance: 0.1, basis: measured}]
`;

export const SMALL_CATALOGUE = `Name,Wheel diameter [mm],Trail (mm),swivel moment,rolling length [mm],stiffness [N/mm],rating [kg],tread,mass [kg],cost [EUR],brake torque [Nm],order number
grey 100,100,32,0.3 Nm,2.2,400,60,grey rubber,0.5,7.5,10,A1
"soft, 125",125,38,3 lbf in,2.8,300,not stated,soft,0.8,11,,A2
`;

const FINDINGS = ['overbalance', 'threshold'];

export function smallCatalogue(text = SMALL_CATALOGUE): CastorCatalogue {
  const read = readCastorCatalogue(new TextEncoder().encode(text), 'castors.csv');
  if (read.kind === 'invalid') throw new Error(read.issues.map(sentence).join('\n'));
  return read.value;
}

function smallCart() {
  const read = readCart(SMALL_CART, 'small.cart.yaml');
  if (read.kind === 'invalid') throw new Error(read.issues.map(sentence).join('\n'));
  return read.value;
}

export const CART = smallCart();

/** Of both steps of reading. */
export function readSmallStudy(
  text: string,
  catalogues: ReadonlyMap<string, CastorCatalogue> = new Map([['castors.csv', smallCatalogue()]]),
): { readonly plan: StudyPlan | null; readonly issues: readonly Issue[] } {
  const file = readStudyFile(text, 'small.study.yaml');
  if (file.kind === 'invalid') return { plan: null, issues: file.issues };
  const plan = planStudy(file.value, { cart: CART, catalogues, findings: FINDINGS });
  return plan.kind === 'ok'
    ? { plan: plan.value, issues: plan.warnings }
    : { plan: null, issues: plan.issues };
}
