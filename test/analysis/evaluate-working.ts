/** Arithmetic of working steps, recomputed from their text. */

// Longest first, so that 'N/m' is not read as 'N'.
const UNITS = /(?<=[\d)]) (?:m\/s2|m\/s|N\/m|N m|kg|N|m)(?![\w/])/g;

type Term = () => number;

/** Value of '512.888 N * tan(10 deg)': numbers with SI units, + - * / ^, brackets and functions. */
export function evaluateWorking(text: string): number {
  const plain = text.replaceAll(UNITS, '');
  const tokens = plain.match(/\d+(?:\.\d+)?|[a-z]+|[-+*/^(),]/g) ?? [];
  let at = 0;
  const take = (token: string): boolean => {
    if (tokens[at] !== token) return false;
    at += 1;
    return true;
  };
  const due = (token: string): void => {
    if (!take(token)) throw new Error(`${token} is due at ${at} of ${plain}`);
  };
  const sum: Term = () => {
    let value = product();
    for (;;) {
      if (take('+')) value += product();
      else if (take('-')) value -= product();
      else return value;
    }
  };
  const product: Term = () => {
    let value = power();
    for (;;) {
      if (take('*')) value *= power();
      else if (take('/')) value /= power();
      else return value;
    }
  };
  const power: Term = () => {
    const base = atom();
    return take('^') ? base ** atom() : base;
  };
  const list = (): number[] => {
    const values = [sum()];
    while (take(',')) values.push(sum());
    return values;
  };
  const atom: Term = () => {
    if (take('-')) return -atom();
    if (take('(')) {
      const value = sum();
      due(')');
      return value;
    }
    const token = tokens[at] ?? '';
    at += 1;
    const call = FUNCTIONS[token];
    if (call !== undefined) {
      due('(');
      const values = list();
      due(')');
      return call(...values);
    }
    const value = Number(token);
    if (token === '' || Number.isNaN(value)) throw new Error(`${token} is no number in ${plain}`);
    return take('deg') ? (value * Math.PI) / 180 : value;
  };
  const value = sum();
  if (at < tokens.length) throw new Error(`${tokens.slice(at).join(' ')} is left of ${plain}`);
  return value;
}

const FUNCTIONS: Readonly<Record<string, (...values: number[]) => number>> = {
  atan: (value) => Math.atan(value ?? Number.NaN),
  tan: (value) => Math.tan(value ?? Number.NaN),
  sqrt: (value) => Math.sqrt(value ?? Number.NaN),
  min: Math.min,
  max: Math.max,
  hypot: Math.hypot,
};
