/** Pens and papers of the drawing in space: materials that follow the page's colours. */

import { Color, DoubleSide, GreaterDepth, MeshBasicMaterial } from 'three';
import { LineMaterial } from 'three/examples/jsm/lines/LineMaterial.js';

/** The drawing is laid down in this order, paper over ink: what stands behind a body shows through. */
export const LAYER = {
  floor: 0,
  support: 1,
  floorLines: 2,
  castorFaces: 4,
  castorEdges: 5,
  massRims: 6,
  masses: 7,
  bodyDepth: 10,
  hiddenEdges: 11,
  bodyFaces: 12,
  bodyEdges: 13,
  quiet: 14,
  marks: 20,
} as const;

/** CSS custom properties of kit/tokens.css. */
const TOKENS = [
  'sheet',
  'raised',
  'ink',
  'ink-soft',
  'line',
  'line-strong',
  'grid',
  'accent',
  'accent-soft',
  'hatch',
] as const;
export type Token = (typeof TOKENS)[number];
export type Colours = Readonly<Record<Token, string>>;

export function readColours(element: Element): Colours {
  const style = getComputedStyle(element);
  const read = TOKENS.map((token) => [token, style.getPropertyValue(`--${token}`).trim()] as const);
  return Object.fromEntries(read) as Colours;
}

export type Ink = ReturnType<typeof createInk>;

export function createInk() {
  const inks = {
    gridLine: pen(0.8),
    edge: pen(1.1),
    hidden: pen(0.8, { depthFunc: GreaterDepth, opacity: 0.5 }),
    quiet: pen(0.9),
    quietDashed: dashed(0.9, 0.018, 0.012),
    tipping: dashed(1.3, 0.05, 0.02, { depthTest: false }),
    governing: pen(2.6, { depthTest: false }),
    fall: dashed(1.4, 0.022, 0.012, { depthTest: false }),
    mark: pen(1.8, { depthTest: false }),
    strong: pen(1.8, { depthTest: false }),
    dimension: pen(0.9),
    /** writes only how far away it is, so that of translucent faces one layer shows */
    depth: new MeshBasicMaterial({ colorWrite: false, ...behindEdges }),
    face: paper({ opacity: 0.55, depthWrite: false }),
    castorFace: paper({ opacity: 1, side: DoubleSide, ...behindEdges }),
    solid: paper({ opacity: 1, vertexColors: false }),
    support: paper({ opacity: 0.5, vertexColors: false, depthWrite: false, side: DoubleSide }),
    part: paper({ opacity: 1, vertexColors: false }),
    load: paper({ opacity: 1, vertexColors: false }),
    rim: paper({ opacity: 1, vertexColors: false }),
    arrow: paper({ opacity: 1, vertexColors: false, depthTest: false }),
    arrowInk: paper({ opacity: 1, vertexColors: false, depthTest: false }),
  };
  return { ...inks, recolour: (colours: Colours) => recolour(inks, colours), dispose };
  function dispose(): void {
    for (const material of Object.values(inks)) material.dispose();
  }
}

/** Faces lie a hair behind their own edges. */
const behindEdges = { polygonOffset: true, polygonOffsetFactor: 1.5, polygonOffsetUnits: 2 };

type Options = ConstructorParameters<typeof MeshBasicMaterial>[0];

/** All are drawn in one list, sorted by layer: three.js keeps opaque ones in another. */
function paper(options: Options): MeshBasicMaterial {
  return new MeshBasicMaterial({ transparent: true, vertexColors: true, ...options });
}

type PenOptions = NonNullable<ConstructorParameters<typeof LineMaterial>[0]>;

/** @param width px */
function pen(width: number, options: PenOptions = {}): LineMaterial {
  return new LineMaterial({ linewidth: width, transparent: true, depthWrite: false, ...options });
}

/** @param dash, gap m */
function dashed(width: number, dash: number, gap: number, options: PenOptions = {}): LineMaterial {
  const material = pen(width, options);
  material.dashed = true;
  material.dashSize = dash;
  material.gapSize = gap;
  return material;
}

type Inks = Omit<Ink, 'recolour' | 'dispose'>;

const COLOUR_OF: Readonly<Record<keyof Inks, Token>> = {
  gridLine: 'line',
  edge: 'ink',
  hidden: 'ink-soft',
  quiet: 'line-strong',
  quietDashed: 'line-strong',
  tipping: 'ink',
  governing: 'accent',
  fall: 'ink',
  mark: 'accent',
  strong: 'ink',
  dimension: 'ink-soft',
  depth: 'raised',
  face: 'raised',
  castorFace: 'raised',
  solid: 'ink',
  support: 'accent-soft',
  part: 'line',
  load: 'accent-soft',
  rim: 'ink',
  arrow: 'accent',
  arrowInk: 'ink',
};

function recolour(inks: Inks, colours: Colours): void {
  for (const name of Object.keys(COLOUR_OF) as (keyof Inks)[]) {
    inks[name].color = new Color(colours[COLOUR_OF[name]] || '#808080');
  }
}
