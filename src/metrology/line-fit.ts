/** Least squares of a straight line and one more column: y = a + b t + c d. In closed form, because a
 * change point tries thousands of columns d on the same t and y. */

export interface LineFit {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  /** sum of squared residuals */
  readonly rss: number;
  /** of (X'X)^-1, for the variance of a + b t: times the variance of the noise */
  readonly aa: number;
  readonly ab: number;
  readonly bb: number;
}

/** A column that differs from every line by less than this share of its own size tells nothing. */
const INDEPENDENT = 1e-9;

/** null where the columns do not tell a, b and c apart. t and y should be centred near 0: sums of squares
 * lose digits far from it. */
export function fitLineWith(
  t: Float64Array,
  y: Float64Array,
  column: (t: number) => number,
): LineFit | null {
  const n = t.length;
  let [st, stt, sd, sdd, std, sy, sty, sdy, syy] = [0, 0, 0, 0, 0, 0, 0, 0, 0];
  for (let i = 0; i < n; i += 1) {
    const x = t[i] as number;
    const v = y[i] as number;
    const d = column(x);
    st += x;
    stt += x * x;
    sd += d;
    sdd += d * d;
    std += x * d;
    sy += v;
    sty += x * v;
    sdy += d * v;
    syy += v * v;
  }
  // 1 and t are taken out of d and of y; the rest of y over the rest of d is c
  const det = n * stt - st * st;
  if (!(det > 0)) return null;
  const [da, db] = [(stt * sd - st * std) / det, (n * std - st * sd) / det];
  const [ya, yb] = [(stt * sy - st * sty) / det, (n * sty - st * sy) / det];
  const dd = sdd - da * sd - db * std;
  if (!(dd > INDEPENDENT * sdd)) return null;
  const dy = sdy - ya * sd - yb * std;
  const c = dy / dd;
  return {
    a: ya - c * da,
    b: yb - c * db,
    c,
    rss: Math.max(0, syy - ya * sy - yb * sty - c * dy),
    aa: stt / det + (da * da) / dd,
    ab: -st / det + (da * db) / dd,
    bb: n / det + (db * db) / dd,
  };
}

export interface StraightLine {
  readonly a: number;
  readonly b: number;
  readonly rss: number;
}

/** y = a + b t; level where all t are one. */
export function fitLine(t: Float64Array, y: Float64Array): StraightLine {
  const n = t.length;
  const [mt, my] = [mean(t), mean(y)];
  let [tt, ty, yy] = [0, 0, 0];
  for (let i = 0; i < n; i += 1) {
    const [x, v] = [(t[i] as number) - mt, (y[i] as number) - my];
    tt += x * x;
    ty += x * v;
    yy += v * v;
  }
  const b = tt > 0 ? ty / tt : 0;
  return { a: my - b * mt, b, rss: Math.max(0, yy - b * ty) };
}

export function mean(values: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < values.length; i += 1) sum += values[i] as number;
  return values.length === 0 ? 0 : sum / values.length;
}
