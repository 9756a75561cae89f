/** Set-up cards as they are written. */

import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { checkCart, QUICK_PROOF } from '../../src/analysis/index.js';
import type { Cart } from '../../src/document/index.js';
import type { Paper } from '../../src/figure/index.js';
import { CardSet, SET_UP_CARD_STYLE, SetUpCard } from '../../src/figure/index.js';
import { planTests } from '../../src/test-plan/index.js';
import { builtIn, CORNERS, castorAt, simpleCart } from '../analysis/simple-cart.js';
import { attribute, draw, numberOf } from './drawn.js';

const SET = builtIn('iec-60601-1-3.2');
const EFFORT = { ...QUICK_PROOF, starts: 20, followed: 2, firstBoxes: 0, gaps: [] };

function planOf(cart: Cart) {
  return planTests(cart, SET, checkCart(cart, SET, { effort: EFFORT }), {
    rule: { kind: 'guard band', multiple: 1 },
  });
}

const CART = simpleCart([0.05, 0.02, 0.6]);
const PLAN = planOf(CART);

function card(cart: Cart, plan: typeof PLAN, index: number, paper: Paper = 'A4'): string {
  const run = plan.runs[index];
  if (run === undefined) throw new Error(`no run ${index}`);
  return draw(
    <SetUpCard
      {...{ cart, plan, run, paper }}
      number={index + 1}
      of={plan.runs.length}
      units="SI"
    />,
  );
}

describe('a set-up card', () => {
  test('has plan and elevation to scale, each with its scale bar, and boxes for every reading', () => {
    PLAN.runs.forEach((run, i) => {
      const markup = card(CART, PLAN, i);
      const scales = [...markup.matchAll(/data-px-per-metre="([\d.]+)"/g)];
      expect(scales).toHaveLength(2);
      for (const [, scale] of scales) expect(Number(scale)).toBeGreaterThan(0);
      expect(markup.match(/fig-scale/g)?.length).toBeGreaterThanOrEqual(2);
      // a cell a reading and line; the last two lines have fields of their own
      const cells = (run.record.length - 2) * run.repeats;
      expect(markup.match(/<td><\/td>/g)).toHaveLength(cells);
      for (const text of run.cautions) expect(markup).toContain(text);
      expect(markup).toContain('A qualified person decides.');
    });
  });

  test('takes smaller letters where there is more to say, and on the shorter paper', () => {
    const long = 'a name as long as anybody may want to write it for some reason ';
    const castors = CORNERS.map(([name, at]) => castorAt(`${long}${name}`, at, 'total'));
    const cart = simpleCart([0.05, 0.02, 0.6], { castors });
    const plan = planOf(cart);
    const size = (markup: string) => Number(/--card-size:([\d.]+)px/.exec(markup)?.[1]);
    expect(size(card(cart, plan, 5))).toBeLessThan(size(card(CART, PLAN, 5)));
    expect(size(card(CART, PLAN, 5, 'Letter'))).toBeLessThan(size(card(CART, PLAN, 5, 'A4')));
  });

  test('looks the same in the page: its style is in figure.css word for word', () => {
    const css = readFileSync(new URL('../../src/figure/figure.css', import.meta.url), 'utf8');
    expect(css).toContain(SET_UP_CARD_STYLE);
  });
});

describe('the set of cards', () => {
  test('opens with the order, the equipment, what is not tested and the cautions', () => {
    const html = draw(
      <CardSet
        {...{ cart: CART, plan: PLAN }}
        units="both"
        paper="A4"
        rule="By the rule."
        madeBy="standstill"
      />,
    );
    const first = html.slice(html.indexOf('<section'), html.indexOf('</section>'));
    for (const { reason } of PLAN.notTested) {
      expect(first).toContain(reason.replaceAll('"', '&quot;'));
    }
    for (const { name } of PLAN.equipment) expect(first).toContain(name);
    for (const text of PLAN.cautions) expect(first).toContain(text);
    expect(first.match(/<tr/g)).toHaveLength(PLAN.runs.length + PLAN.equipment.length + 2);
    expect(attribute(html, 'lang')).toBe('en');
    expect(numberOf(html.slice(html.indexOf('<svg')), 'width')).toBeGreaterThan(0);
  });
});
