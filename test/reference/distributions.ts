/** Distribution functions in closed form or by quadrature, and other closed forms of uncertainty. */

/** Simpson's rule with n intervals, n even. */
export function integral(f: (x: number) => number, from: number, to: number, n = 2000): number {
  const h = (to - from) / n;
  let sum = f(from) + f(to);
  for (let i = 1; i < n; i++) sum += (i % 2 === 1 ? 4 : 2) * f(from + i * h);
  return (sum * h) / 3;
}

/** F of the standard normal distribution: its density integrated from zero. */
export function normalCdf(x: number): number {
  const density = (t: number): number => Math.exp(-0.5 * t * t) / Math.sqrt(2 * Math.PI);
  return 0.5 + integral(density, 0, Math.max(-12, Math.min(12, x)));
}

/** F of a triangle on [-1, 1]. */
export function triangularCdf(x: number): number {
  if (x <= -1) return 0;
  if (x >= 1) return 1;
  return x < 0 ? (1 + x) ** 2 / 2 : 1 - (1 - x) ** 2 / 2;
}

/** F of a trapezoid on [-1, 1] whose top reaches from -b to b: its density integrated. */
export function trapezoidalCdf(x: number, b: number): number {
  const density = (t: number): number =>
    Math.abs(t) <= b ? 1 / (1 + b) : (1 - Math.abs(t)) / ((1 - b) * (1 + b));
  const corners = [-1, -b, b, 1];
  let sum = 0;
  for (let i = 0; i < 3; i++) {
    const from = corners[i] as number;
    const to = Math.min(x, corners[i + 1] as number);
    if (to > from) sum += integral(density, from, to, 4);
  }
  return sum;
}

/** F of t with three degrees of freedom, in closed form. */
export function tCdf3(t: number): number {
  const s = t / Math.sqrt(3);
  return 0.5 + (s / (1 + s * s) + Math.atan(s)) / Math.PI;
}

/**
 * F of the sum of independent rectangular quantities about zero: the volume of a box cut by a plane,
 * by inclusion and exclusion of its corners.
 *
 * @param halfWidths > 0, a few
 */
export function rectangularSumCdf(x: number, halfWidths: readonly number[]): number {
  const n = halfWidths.length;
  let sum = 0;
  for (let corner = 0; corner < 2 ** n; corner++) {
    let reach = x;
    let sign = 1;
    halfWidths.forEach((a, i) => {
      const upper = (corner >> i) & 1;
      reach += upper === 1 ? -a : a;
      if (upper === 1) sign = -sign;
    });
    if (reach > 0) sum += sign * reach ** n;
  }
  const volume = halfWidths.reduce((product, a, i) => product * 2 * a * (i + 1), 1);
  return sum / volume;
}

/** Where an increasing function reaches a value, by bisection. */
export function solved(f: (x: number) => number, value: number, from: number, to: number): number {
  let [low, high] = [from, to];
  for (let k = 0; k < 200; k++) {
    const middle = 0.5 * (low + high);
    if (f(middle) < value) low = middle;
    else high = middle;
  }
  return 0.5 * (low + high);
}

/** P(X = k) of n trials that each hit with probability p. */
export function binomial(k: number, n: number, p: number): number {
  let log = 0;
  for (let i = 1; i <= k; i++) log += Math.log((n - k + i) / i);
  if (p === 0) return k === 0 ? 1 : 0;
  if (p === 1) return k === n ? 1 : 0;
  return Math.exp(log + k * Math.log(p) + (n - k) * Math.log1p(-p));
}

/**
 * Sobol' indices of sin x1 + a sin^2 x2 + b x3^4 sin x1 with every x from -pi to pi (Ishigami and
 * Homma, Proceedings of the first international symposium on uncertainty modeling and analysis,
 * 1990, 398-403), by integrating the parts of the variance.
 */
export function ishigamiIndices(a: number, b: number) {
  const pi4 = Math.PI ** 4;
  const v1 = 0.5 * (1 + (b * pi4) / 5) ** 2;
  const v2 = (a * a) / 8;
  const v13 = b * b * pi4 * pi4 * (1 / 18 - 1 / 50);
  const v = v1 + v2 + v13;
  return { main: [v1 / v, v2 / v, 0], total: [(v1 + v13) / v, v2 / v, v13 / v] } as const;
}
