/** Two texts beside each other as one list of lines: told apart by sign and word, not by colour alone. */

import './difference-view.css';
import { useMemo } from 'react';
import { lineDifference } from './line-difference.js';

/** Lines shown; more of them nobody reads in a dialog. */
const MOST_LINES = 400;

export interface DifferenceViewProps {
  /** what the first text is: 'your sheet' */
  readonly oneName: string;
  readonly one: string;
  readonly otherName: string;
  readonly other: string;
}

export function DifferenceView({ oneName, one, otherName, other }: DifferenceViewProps) {
  const difference = useMemo(() => lineDifference(one, other), [one, other]);
  const words = { one: oneName, other: otherName };
  const lines = difference.lines.slice(0, MOST_LINES);
  return (
    <figure className="difference">
      <figcaption className="kit-soft">
        {countWords(difference.one)} only in {oneName} (−), {countWords(difference.other)} only in{' '}
        {otherName} (+).
      </figcaption>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: it scrolls, so that keys have to reach it */}
      <ol className="difference-lines plain" tabIndex={0} aria-label="Lines that differ">
        {lines.map(({ kind, text, line }) => (
          <li key={`${kind} ${line}`} className={`difference-line is-${kind.replace(' ', '-')}`}>
            {kind === 'left out' ? (
              <span>{countWords(Number(text))} the same</span>
            ) : (
              <>
                <span className="difference-number">{line}</span>
                <span aria-hidden="true">{SIGNS[kind]}</span>
                {kind !== 'same' && <span className="kit-hidden">only in {words[kind]}: </span>}
                <span className="difference-text">{text === '' ? ' ' : text}</span>
              </>
            )}
          </li>
        ))}
        {difference.lines.length > lines.length && <li>And more.</li>}
      </ol>
    </figure>
  );
}

const SIGNS = { same: ' ', one: '−', other: '+' } as const;

function countWords(count: number): string {
  return count === 1 ? '1 line' : `${count} lines`;
}
