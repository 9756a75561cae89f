/** Drawings of carts and findings: SVG, one source for the page and the report. */

export type { CardSetProps } from './card-set.js';
export { CardSet, PlanPage, rangeText } from './card-set.js';
export { CentreOfMassMark, LOCK_WORDS } from './castor-plan.js';
export type { ElevationFrom } from './elevation-layout.js';
export type { ElevationViewProps } from './elevation-view.js';
export { ElevationView } from './elevation-view.js';
export { figureStyle, TEXT_SIZE } from './figure-style.js';
export type { HoldingRoseFigureProps } from './holding-rose-figure.js';
export { HoldingRoseFigure } from './holding-rose-figure.js';
export type { LabelWish, PlacedLabel } from './label-places.js';
export { LINE_HEIGHT, placeLabels } from './label-places.js';
export type { MarginBarsProps } from './margin-bars.js';
export { MarginBars } from './margin-bars.js';
export type { MarginRow, MarginValue } from './margin-row.js';
export { marginOfFinding, marginOfScreened, marginWords } from './margin-row.js';
export type { PlanViewProps } from './plan-view.js';
export { PlanView } from './plan-view.js';
export {
  actionWords,
  loadWords,
  massWords,
  nearestLine,
  standingWords,
  tipWords,
} from './pose-words.js';
export { rayWords, shortfallWords } from './rose-words.js';
export type { ScaleBarProps } from './scale-bar.js';
export { ScaleBar } from './scale-bar.js';
export type { Paper, SetUpCardProps } from './set-up-card.js';
export { SetUpCard } from './set-up-card.js';
export { SET_UP_CARD_STYLE } from './set-up-card-style.js';
export { fitText } from './text-width.js';
export type { TraceFigureProps } from './trace-figure.js';
export { TraceFigure } from './trace-figure.js';
export type { VerdictMarkProps, VerdictShapeProps } from './verdict-mark.js';
export { VerdictMark, VerdictShape } from './verdict-mark.js';
