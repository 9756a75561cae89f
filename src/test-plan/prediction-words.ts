/** What is predicted of a run, in one sentence. */

import type { Amount, FailureMode } from '../analysis/index.js';
import { amountText, coefficientText, modeText } from '../analysis/index.js';
import type { UnitSystem } from '../units/index.js';
import type { Loading, Prediction } from './test-run.js';

type Told = Omit<Prediction, 'words'>;

/** 'It tips over the line through front left and rear left at 12.3 deg where 10 deg is asked.' */
export function predictionWords(told: Told, loading: Loading, units: UnitSystem): string {
  const needs =
    told.frictionNeeded === null
      ? ''
      : ` It needs a friction coefficient of ${coefficientText(told.frictionNeeded)}.`;
  return `${sentence(told, loading, units)}${needs}`;
}

function sentence({ capacity, demand, mode }: Told, loading: Loading, units: UnitSystem): string {
  const shown = capacity === null ? '' : amountText(capacity, units);
  const asked = demand === null ? '' : amountText(demand, units);
  switch (loading.kind) {
    case 'incline':
    case 'push':
    case 'press': {
      if (capacity === null) return `Nothing tips it this way, where ${asked} is asked.`;
      const goes = mode === null ? 'gives way' : modeText(readable(mode), units);
      return `It ${goes} at ${shown}, where ${asked} is asked.`;
    }
    case 'propulsion':
      return `Starting it takes ${shown}, where ${asked} is allowed.`;
    case 'threshold':
      if (mode?.kind === 'stops') {
        return `The wheels do not get over: ${mode.what}, axle ${shown} high, step ${asked}.`;
      }
      if (capacity === null) return 'No speed tips it when its wheels are stopped at the step.';
      return `Its wheels stopped dead at the step, it tips from ${shown}, where ${asked} is asked.`;
    case 'weighing':
      return loading.removed
        ? missingSentence(capacity, loading.castor, units)
        : weighingSentence(shown, asked, loading.castor);
    case 'lifting':
      return shown === ''
        ? `It has to bear ${asked}; what it bears is not stated.`
        : `It has to bear ${asked} and is stated to bear ${shown}.`;
  }
}

/** rad and m: nobody tells directions and places on a floor apart more closely. */
const DIRECTION_STEP = Math.PI / 1800;
const PLACE_STEP = 0.001;

function readable(mode: FailureMode): FailureMode {
  const to = (step: number, value: number): number => Math.round(value / step) * step + 0;
  if (mode.kind === 'slides' || mode.kind === 'rolls') {
    return { ...mode, direction: to(DIRECTION_STEP, mode.direction) };
  }
  if (mode.kind !== 'pivots') return mode;
  return { ...mode, about: [to(PLACE_STEP, mode.about[0]), to(PLACE_STEP, mode.about[1])] };
}

function weighingSentence(shown: string, asked: string, castor: string): string {
  const limit = asked === '' ? 'its rating is not stated' : `at most ${asked} is allowed`;
  return shown === ''
    ? `The load of ${castor} is not known: the cart does not stand; ${limit}.`
    : `${castor} carries ${shown}; ${limit}.`;
}

function missingSentence(distance: Amount | null, castor: string, units: UnitSystem): string {
  if (distance === null) {
    return `Without ${castor} the castors that are left support nothing: it tips.`;
  }
  const off = amountText({ ...distance, value: Math.abs(distance.value) }, units);
  return distance.value < 0
    ? `Without ${castor} the centre of mass is ${off} outside the castors that are left: it tips.`
    : `Without ${castor} the centre of mass stays ${off} inside the castors that are left.`;
}
