/** Arrays in which the mass model and its bounds keep intermediate values. No physics. */

/** Numbers kept for the functional at a node: a0 a1 a2, then b0, b1, b2 as vectors. An interval
 * keeps the lower end of a in [0], the lower ends of b in [3..5], the upper ends in [6..8]. */
export const STATE = 12;

/** Numbers kept for the rotation ranges of a node: nine entries and three offsets, two ends each. */
export const ROTATION = 24;

export interface Scratch {
  /** four numbers a node */
  readonly sums: Float64Array;
  /** mass range, then the ranges of the three moments, eight numbers a node */
  readonly ranges: Float64Array;
  readonly stateKind: Int8Array;
  /** node of the free turn at which the layer of a sinusoid state starts, else -1 */
  readonly stateTurn: Int32Array;
  readonly state: Float64Array;
  /** layer below the one that starts at a turn, -1: none; lowest of them; sign of the turn in the sum */
  readonly layerUp: Int32Array;
  readonly layerRoot: Int32Array;
  readonly layerSign: Int8Array;
  /** range of the summed angle of a layer, two numbers a node; cos and sin there, six numbers */
  readonly layerRange: Float64Array;
  readonly layerTrig: Float64Array;
  readonly layerCentre: Float64Array;
  /** sinusoid of the layer below in a of what a layer carries, three numbers a node */
  readonly below: Float64Array;
  /** 1: a fixed turn has moved the layer's direction */
  readonly skew: Uint8Array;
  /** [0] is 1 when the last pass came to an interval state */
  readonly intervals: Uint8Array;
  /** cos and sin at lo, middle, hi of a turn by itself, six numbers a node */
  readonly trig: Float64Array;
  /** the range that `trig` is for, two numbers a node, NaN: none yet */
  readonly trigRange: Float64Array;
  /** ranges of rotation and axis offset over that range, ROTATION numbers a node, when known */
  readonly rotation: Float64Array;
  readonly rotationKnown: Uint8Array;
  /** sinusoid summed over what hangs under a free turn, three numbers a node */
  readonly harmonic: Float64Array;
  readonly pair: Float64Array;
  readonly gradient: Float64Array;
  readonly turnedLow: Float64Array;
  readonly turnedHigh: Float64Array;
  readonly centreLo: Float64Array;
  readonly centreHi: Float64Array;
  readonly chain: Int32Array;
}

/** Zeroed arrays for that many nodes and variables. */
export function newScratch(nodes: number, variables: number): Scratch {
  return {
    sums: new Float64Array(4 * nodes),
    ranges: new Float64Array(8 * nodes),
    stateKind: new Int8Array(nodes),
    stateTurn: new Int32Array(nodes),
    state: new Float64Array(STATE * nodes),
    layerUp: new Int32Array(nodes),
    layerRoot: new Int32Array(nodes),
    layerSign: new Int8Array(nodes),
    layerRange: new Float64Array(2 * nodes).fill(Number.NaN),
    layerTrig: new Float64Array(6 * nodes),
    layerCentre: new Float64Array(nodes),
    below: new Float64Array(3 * nodes),
    skew: new Uint8Array(nodes),
    intervals: new Uint8Array(1),
    trig: new Float64Array(6 * nodes),
    trigRange: new Float64Array(2 * nodes).fill(Number.NaN),
    rotation: new Float64Array(ROTATION * nodes),
    rotationKnown: new Uint8Array(nodes),
    harmonic: new Float64Array(3 * nodes),
    pair: new Float64Array(2),
    gradient: new Float64Array(2 * nodes),
    turnedLow: new Float64Array(3),
    turnedHigh: new Float64Array(3),
    centreLo: new Float64Array(variables),
    centreHi: new Float64Array(variables),
    chain: new Int32Array(nodes),
  };
}
