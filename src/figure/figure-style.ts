/**
 * How figures look: a class for the page's style sheet (figure.css), and beside it presentation
 * attributes for where there is no style sheet. Any rule of a style sheet beats these, so they are set
 * for grey print: ink on white paper.
 */

import type { SVGAttributes } from 'react';

const INK = '#1a1a1a';
const QUIET = '#555555';
const FAINT = '#8c8c8c';
const PAPER = '#ffffff';
const SHADE = '#ececec';

type Style = Readonly<
  Pick<
    SVGAttributes<SVGElement>,
    | 'className'
    | 'fill'
    | 'fillOpacity'
    | 'fontSize'
    | 'fontWeight'
    | 'paintOrder'
    | 'stroke'
    | 'strokeDasharray'
    | 'strokeLinecap'
    | 'strokeLinejoin'
    | 'strokeWidth'
  >
>;

function line(name: string, stroke: string, strokeWidth: number, dashes?: string): Style {
  return {
    className: `fig-${name}`,
    fill: 'none',
    stroke,
    strokeWidth,
    strokeLinejoin: 'round',
    ...(dashes === undefined ? {} : { strokeDasharray: dashes }),
  };
}

function area(name: string, fill: string, stroke: string, strokeWidth: number): Style {
  return { className: `fig-${name}`, fill, stroke, strokeWidth, strokeLinejoin: 'round' };
}

function text(name: string, fill: string, fontSize: number, fontWeight: number): Style {
  return {
    className: `fig-text fig-${name}`,
    fill,
    fontSize,
    fontWeight,
    // a rim of paper keeps a word readable on top of a line
    stroke: PAPER,
    strokeWidth: 3,
    strokeLinejoin: 'round',
    paintOrder: 'stroke',
  };
}

/** px: the sizes that text is measured with; figure.css must not change them. */
export const TEXT_SIZE = { title: 14, label: 11, small: 10 } as const;

export const figureStyle = {
  paper: { className: 'fig-paper', fill: PAPER, stroke: 'none' },
  ink: line('ink', INK, 1.25),
  strong: line('strong', INK, 2),
  thin: line('thin', QUIET, 0.75),
  dashed: line('dashed', QUIET, 0.75, '4 3'),
  chain: line('chain', INK, 1, '10 3 2 3'),
  faint: line('faint', FAINT, 0.5),
  ring: line('ring', FAINT, 0.5, '1 3'),
  accent: line('accent', INK, 2.25),
  hatch: line('hatch', INK, 0.75),
  body: { ...area('body', PAPER, QUIET, 0.9), fillOpacity: 0.72 },
  solid: area('solid', INK, INK, 0.75),
  open: area('open', PAPER, INK, 1.25),
  accentSolid: area('accent-solid', INK, INK, 0.75),
  shade: area('shade', SHADE, 'none', 0),
  support: { ...area('support', '#cccccc', 'none', 0), fillOpacity: 0.35 },
  lacking: area('lacking', SHADE, 'none', 0),
  bar: area('bar', '#5c5c5c', '#5c5c5c', 0.75),
  barFound: area('bar-found', '#d0d0d0', '#5c5c5c', 0.75),
  otherBar: area('other-bar', '#8c8c8c', '#767676', 0.75),
  otherBarFound: area('other-bar-found', '#e6e6e6', '#767676', 0.75),
  title: text('title', INK, TEXT_SIZE.title, 600),
  label: text('label', INK, TEXT_SIZE.label, 400),
  strongLabel: text('strong-label', INK, TEXT_SIZE.label, 600),
  quietLabel: text('quiet-label', QUIET, TEXT_SIZE.label, 400),
  small: text('small', QUIET, TEXT_SIZE.small, 400),
} as const satisfies Readonly<Record<string, Style>>;

export type TextStyle = 'title' | 'label' | 'strongLabel' | 'quietLabel' | 'small';
