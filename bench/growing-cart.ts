/** Carts of a given number of castors, movers and loads, for the growth tables. */
import type { Cart, Castor, Load, Mover, Part } from '../src/document/index.js';

export interface CartSize {
  readonly castors: number;
  readonly movers: number;
  readonly loads: number;
}

const DEGREE = Math.PI / 180;

function castorAt(k: number, count: number): Castor {
  // An oval of 0.6 x 0.5 m; half a step off the axes, so that four stand at the corners.
  const angle = (2 * Math.PI * (k + 0.5)) / count;
  return {
    name: `castor ${k + 1}`,
    at: [0.38 * Math.cos(angle), 0.34 * Math.sin(angle)],
    wheelDiameter: 0.1,
    trail: 0.032,
    fixedDirection: null,
    lock: 'wheel',
    brakeTorque: null,
    lockDirections: null,
    swivelMoment: 0.3,
    rollingLength: 0.0022,
    rating: 60,
    stiffness: 4e5,
    tread: 'grey rubber',
  };
}

/** Slides up and turns about the column in turn, each on the one before. */
function moverAt(k: number): Mover {
  const on = k === 0 ? null : `mover ${k}`;
  const name = `mover ${k + 1}`;
  if (k % 2 === 0) {
    const slide = { kind: 'slide', origin: [0, 0, 0], axis: [0, 0, 1] } as const;
    return { ...slide, name, on, from: 0, to: 0.3 / (k + 1), stops: null };
  }
  const turn = { kind: 'turn', origin: [0, 0, 0.7], axis: [0, 0, 1] } as const;
  return { ...turn, name, on, from: -90 * DEGREE, to: 90 * DEGREE, stops: null };
}

function loadAt(k: number, movers: number): Load {
  const turn = 2.4 * k; // rad; the golden angle, so that no two stand alike
  return {
    name: `load ${k + 1}`,
    kind: k % 2 === 0 ? 'removable' : 'fluid',
    on: movers === 0 || k % 3 === 0 ? null : `mover ${(k % movers) + 1}`,
    at: [0.15 * Math.cos(turn), 0.15 * Math.sin(turn), 0.4 + 0.04 * k],
    atTolerance: 0,
    atDistribution: 'rectangular',
    least: k % 2 === 0 ? 0.5 : 0,
    most: 2,
  };
}

export function growingCart({ castors, movers, loads }: CartSize): Cart {
  const still = {
    massTolerance: 0,
    massDistribution: 'rectangular',
    atTolerance: 0,
    atDistribution: 'rectangular',
    massFrom: 'cart file',
  } as const;
  const parts: Part[] = [
    { ...still, name: 'base', mass: 40, at: [0, 0, 0.15], on: null },
    { ...still, name: 'column', mass: 10, at: [0, 0, 0.5], on: null },
  ];
  const moverList = Array.from({ length: movers }, (_, k) => moverAt(k));
  for (const [k, mover] of moverList.entries()) {
    parts.push({
      ...still,
      name: `on ${mover.name}`,
      mass: 3,
      at: [0.1, 0, 0.8 + 0.02 * k],
      on: mover.name,
    });
  }
  const loadList = Array.from({ length: loads }, (_, k) => loadAt(k, movers));
  const full = {
    movers: Object.fromEntries(moverList.map((m) => [m.name, { from: m.from, to: m.to }])),
    loads: Object.fromEntries(
      loadList.map((l) => [
        l.name,
        { least: l.least, most: l.most, mayBeAbsent: l.kind === 'removable' },
      ]),
    ),
  };
  return {
    name: `${castors} castors, ${movers} movers, ${loads} loads`,
    description: '',
    mobility: 'mobile',
    parts,
    movers: moverList,
    loads: loadList,
    castors: Array.from({ length: castors }, (_, k) => castorAt(k, castors)),
    floor: {
      name: 'vinyl 3 mm on concrete',
      friction: [
        {
          tread: 'grey rubber',
          value: 0.7,
          tolerance: 0.1,
          distribution: 'rectangular',
          readings: null,
          basis: 'assumed',
        },
      ],
    },
    outline: [
      {
        name: 'column',
        on: null,
        shape: { kind: 'box', from: [-0.2, -0.2, 0.1], to: [0.2, 0.2, 1] },
        pushable: true,
      },
    ],
    surfaces: [],
    handles: [{ name: 'bar', on: null, at: [-0.25, 0, 0.9], kind: 'pushing', rating: null }],
    markings: [],
    positions: [
      { name: 'transport', kind: 'transport', ...full },
      { name: 'in use', kind: 'use', ...full },
    ],
    requirements: 'iec-60601-1-3.2',
    uncertainty: {},
  };
}
