/** The line on the terminal while a study runs: how far, how fast, how long still. */

import type { StudyProgress } from '../study-runs/index.js';
import type { Page } from './page.js';
import { messagePage } from './page.js';
import { startProgress } from './progress.js';
import type { Surroundings } from './surroundings.js';

export interface StudyLine {
  readonly report: (progress: StudyProgress) => void;
  readonly clear: () => void;
}

export function startStudyLine(around: Surroundings): StudyLine {
  const line = startProgress(around);
  const page = messagePage(around);
  let begun: { readonly phase: string; readonly at: number; readonly done: number } | null = null;
  return {
    report(progress) {
      const { phase, done, total } = progress;
      const now = around.clock();
      if (begun?.phase !== phase) begun = { phase, at: now, done };
      const rate = now > begun.at ? ((done - begun.done) * 1000) / (now - begun.at) : 0;
      line.report(done, total, studyWords(page, progress, rate));
    },
    clear: line.clear,
  };
}

const DOING: Readonly<Record<StudyProgress['phase'], string>> = {
  screening: 'screened',
  choosing: 'looked at for the best',
  proving: 'proven',
};

/** @param rate a second; 0: not known yet */
function studyWords(page: Page, { phase, done, total, passing }: StudyProgress, rate: number) {
  const speed = rate > 0 ? [`${rateText(rate)}, ${timeText((total - done) / rate)} left`] : [];
  const words = [DOING[phase], ...speed, `${passing} pass`].join(', ');
  return `${words} ${bar(page, done / total)}`;
}

function rateText(rate: number): string {
  return rate >= 1 ? `${Number(rate.toPrecision(2))} a second` : `${(1 / rate).toFixed(1)} s each`;
}

/** s; as people say it */
export function timeText(seconds: number): string {
  if (seconds < 90) return `${Math.ceil(seconds)} s`;
  const minutes = Math.round(seconds / 60);
  return minutes < 90 ? `${minutes} min` : `${(minutes / 60).toFixed(1)} h`;
}

const CELLS = 12;

function bar(page: Page, share: number): string {
  const full = Math.round(share * CELLS);
  const [on, off] = page.unicode ? ['█', '░'] : ['#', '.'];
  return `${on.repeat(full)}${off.repeat(CELLS - full)}`;
}
