/**
 * Question: how high is the centre of mass of a cart that is tilted on scales?
 *
 * Assumptions: the cart is rigid and nothing in it shifts; the scales are level, and the wheels of both
 * ends roll freely or those of one end do; all wheels have one size and are turned along the slope; the
 * castors stay turned as they are; the lower castors stand in one row, the lifted ones in another, square
 * to the slope.
 *
 * A round wheel on a level scale that is turned along the slope touches it right below its axle, so the
 * force of the scale passes through the axle however the cart is tilted. In the frame of the cart the axles are at height r. With s counted
 * from the axles of the lower row up the slope, the lever of a force at (s, z) about them is
 * s cos(theta) - (z - r) sin(theta), and moments, over cos(theta), read
 *
 *     sum_lower N_i s_i + N_lifted L = W (a - (h - r) tan(theta)),   N_lifted = W - sum_lower N_i.
 *
 * What went to the lower castors,
 *
 *     y = sum_lower N_i (1 - s_i / L) - W (1 - a / L) = (W / L) (h - r) tan(theta),
 *
 * is a straight line of tan(theta), without an approximation for small angles.
 *
 * Symbols: W mass (kg), a distance of the centre of mass from the lower row (m), L distance between the rows
 * (m), h height of the centre of mass, r height of the axis (m, above the floor plane), theta tilt (rad),
 * N what the scales show (kg).
 * Source: statics; method and its terms as ISO 10392:2011, 6.2. docs/theory/measurement.md.
 */

/** Share of the base by which a castor may be off its row. Two lifted ones off to either side, between which
 * 30 % of a castor's load wanders unseen, put the height above the axis wrong by 1.5 % at 10 degrees
 * (docs/theory/measurement.md). */
export const ROW_TOLERANCE = 0.02;

export type Point = readonly [number, number];

/** Which castors make the rows; indices into the contacts. */
export interface Rows {
  /** lower castors that bear; those that hang free are left out */
  readonly lower: readonly number[];
  readonly lifted: readonly number[];
  /** the two castors that give the direction of the axis */
  readonly axis: readonly [number, number];
}

export interface Slope {
  /** distance of each castor from the lower row, up the slope, m */
  readonly along: readonly number[];
  /** distance of the centre of mass, m */
  readonly centre: number;
  /** m */
  readonly base: number;
}

export interface Line {
  readonly slope: number;
  readonly intercept: number;
  /** standard uncertainties by the weights alone: what the stated uncertainties, each by itself, make */
  readonly slopeU: number;
  readonly interceptU: number;
  /** weighted sum of squared residuals over its degrees of freedom; null: none are left */
  readonly scatter: number | null;
  readonly degrees: number;
}

/** @param bearing lower castors that bear */
export function rowsOf(
  at: readonly Point[],
  bearing: readonly number[],
  lifted: readonly number[],
):
  | { readonly kind: 'ok'; readonly rows: Rows }
  | { readonly kind: 'refused'; readonly problem: string } {
  if (bearing.length === 0) {
    return refused(
      'the lower castors carry nothing; allowed: readings of those that stay on their scales',
    );
  }
  const axis = furthest(at, bearing) ?? furthest(at, lifted);
  if (axis === null) {
    return refused(
      'one castor below and one lifted leave the axis open; allowed: two castors on one of the ends',
    );
  }
  return { kind: 'ok', rows: { lower: bearing, lifted, axis } };
}

/** @param level kg on each castor on the level @param centre centre of mass in the plan */
export function slopeOf(
  at: readonly Point[],
  rows: Rows,
  level: readonly number[],
  centre: Point,
): Slope {
  const [from, to] = rows.axis.map((i) => at[i] as Point) as [Point, Point];
  const length = Math.hypot(to[0] - from[0], to[1] - from[1]);
  const square: Point = [-(to[1] - from[1]) / length, (to[0] - from[0]) / length];
  const origin = at[rows.lower[0] as number] as Point;
  const distance = ([x, y]: Point) => square[0] * (x - origin[0]) + square[1] * (y - origin[1]);
  const along = at.map(distance);
  const base = weightedMean(rows.lifted, along, level);
  // the sense of the axis is that of two names; the lifted row is uphill
  const sense = base < 0 ? -1 : 1;
  return {
    along: along.map((s) => sense * s),
    centre: sense * distance(centre),
    base: sense * base,
  };
}

/** Which castors are off their row by more than the tolerance: index and distance, m. */
export function offTheirRow({ along, base }: Slope, rows: Rows): readonly [number, number][] {
  const off = (row: readonly number[], place: number) =>
    row.map((i): [number, number] => [i, (along[i] as number) - place]);
  return [...off(rows.lower, 0), ...off(rows.lifted, base)].filter(
    ([, distance]) => Math.abs(distance) > ROW_TOLERANCE * base,
  );
}

/** kg that went to the lower castors against the level.
 * @param shown kg on each castor; those of the lifted ones are not looked at */
export function loadMoved(
  { along, centre, base }: Slope,
  rows: Rows,
  mass: number,
  shown: readonly number[],
): number {
  const lower = rows.lower.reduce(
    (sum, i) => sum + (shown[i] as number) * (1 - (along[i] as number) / base),
    0,
  );
  return lower - mass * (1 - centre / base);
}

/** Weighted least squares. @param free the line has an intercept, else it passes through 0; a free one
 * needs two different x. @param x not all 0 @param weights 1 / u^2, all > 0 */
export function lineThrough(
  x: readonly number[],
  y: readonly number[],
  weights: readonly number[],
  free: boolean,
): Line {
  const sum = (term: (i: number) => number) =>
    x.reduce((total, _, i) => total + (weights[i] as number) * term(i), 0);
  const all = sum(() => 1);
  // about the mean: the sums of squares of a free line keep their digits
  const meanX = free ? sum((i) => x[i] as number) / all : 0;
  const meanY = free ? sum((i) => y[i] as number) / all : 0;
  const across = (i: number) => (x[i] as number) - meanX;
  const spread = sum((i) => across(i) ** 2);
  const slope = sum((i) => across(i) * ((y[i] as number) - meanY)) / spread;
  const intercept = meanY - slope * meanX;
  const degrees = x.length - (free ? 2 : 1);
  const squares = sum((i) => ((y[i] as number) - intercept - slope * (x[i] as number)) ** 2);
  return {
    slope,
    intercept,
    slopeU: Math.sqrt(1 / spread),
    interceptU: free ? Math.sqrt(1 / all + meanX ** 2 / spread) : 0,
    scatter: degrees > 0 ? squares / degrees : null,
    degrees,
  };
}

function refused(problem: string): { readonly kind: 'refused'; readonly problem: string } {
  return { kind: 'refused', problem };
}

/** The two castors that are furthest from each other; null: fewer than two places. */
function furthest(
  at: readonly Point[],
  among: readonly number[],
): readonly [number, number] | null {
  let pair: readonly [number, number] | null = null;
  let greatest = 0;
  for (const i of among) {
    for (const j of among) {
      const [p, q] = [at[i] as Point, at[j] as Point];
      const distance = Math.hypot(p[0] - q[0], p[1] - q[1]);
      if (i < j && distance > greatest) {
        greatest = distance;
        pair = [i, j];
      }
    }
  }
  return pair;
}

/** Where the resultant of the lifted castors is on the level; their middle where they carry nothing. */
function weightedMean(
  row: readonly number[],
  along: readonly number[],
  level: readonly number[],
): number {
  const total = row.reduce((sum, i) => sum + (level[i] as number), 0);
  return total > 0
    ? row.reduce((sum, i) => sum + (level[i] as number) * (along[i] as number), 0) / total
    : row.reduce((sum, i) => sum + (along[i] as number), 0) / row.length;
}
