/** A value of the pose: its name, a slider with the ends of its range, and a field. */

import type { KeyboardEvent } from 'react';
import { useId, useState } from 'react';
import type { Dimension } from '../../../analysis/index.js';
import { quantityText } from '../../../analysis/index.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import { nearestAllowed } from './pose-values.js';
import type { Allowed } from './typed-value.js';
import { allowedWords, fieldText, readTyped } from './typed-value.js';

export interface PoseRowProps {
  readonly name: string;
  readonly dimension: Dimension;
  /** SI */
  readonly value: number;
  readonly allowed: Allowed;
  /** the slider's own range, where it is not that of what is allowed */
  readonly slider?: { readonly from: number; readonly to: number };
  /** several things are shown by it that differ */
  readonly mixed?: boolean;
  readonly onChange: (value: number) => void;
}

/** SI: what a slider is set to, and what a key moves it by. */
const GRAIN: Readonly<Partial<Record<Dimension, readonly [number, number]>>> = {
  length: [0.001, 0.005],
  angle: [Math.PI / 360, Math.PI / 180],
  mass: [0.01, 0.1],
  force: [1, 5],
};

export function PoseRow(props: PoseRowProps) {
  const { name, dimension, value, allowed, onChange } = props;
  const units = useWorkbench((s) => s.units);
  const id = useId();
  const { from, to } = props.slider ?? allowed;
  const isFixed = from === to && allowed.orNothing !== true;
  const ends = allowedWords(allowed, dimension, units);
  return (
    <div className="pose-row">
      <span className="pose-row-name" title={name} id={`${id}-name`}>
        {name}
      </span>
      {isFixed ? (
        <span className="pose-row-held kit-soft">
          held at {quantityText(value, dimension, units)}
        </span>
      ) : (
        <>
          <PoseSlider {...props} id={id} units={units} />
          <PoseField key={units} {...props} label={`${name}, value`} />
          <span className="pose-row-ends" title={ends} hidden={isWholeTurn(allowed)}>
            {allowed.stops === null ? (
              <>
                <span>{fieldText(from, dimension, units).replace(/ .*/, '')}</span>
                <span>{fieldText(to, dimension, units)}</span>
              </>
            ) : (
              <span>stops: {ends}</span>
            )}
          </span>
        </>
      )}
      {!isFixed && allowed.orNothing === true && allowed.from > 0 && (
        <label className="pose-row-absent">
          <input
            type="checkbox"
            checked={value === 0}
            aria-label={`${name} absent`}
            onChange={({ target }) => onChange(target.checked ? 0 : to)}
          />
          absent
        </label>
      )}
    </div>
  );
}

/** Any direction: its ends tell nothing. */
function isWholeTurn({ from, to, stops }: Allowed): boolean {
  return stops === null && to - from === 2 * Math.PI;
}

interface PoseSliderProps extends PoseRowProps {
  readonly id: string;
  readonly units: 'SI' | 'US' | 'both';
}

function PoseSlider(props: PoseSliderProps) {
  const { id, name, dimension, value, allowed, mixed = false, onChange } = props;
  const { from, to } = props.slider ?? allowed;
  const [grain, step] = GRAIN[dimension] ?? [(to - from) / 100, (to - from) / 20];
  const put = (asked: number): void => {
    const rounded = Math.round(asked / grain) * grain;
    const next = nearestAllowed(rounded, { from, to }, allowed.stops);
    if (mixed || next !== value) onChange(next);
  };
  const onKeyDown = (event: KeyboardEvent): void => {
    const steps = KEY_STEPS[event.key];
    if (steps === undefined) return;
    event.preventDefault();
    if (allowed.stops === null) put(value + steps * step);
    else put(nextStop(allowed.stops, value, steps));
  };
  return (
    <>
      <input
        type="range"
        className="pose-row-slider"
        aria-label={name}
        aria-valuetext={mixed ? 'they differ' : valueText(props)}
        min={from}
        max={to}
        step="any"
        value={Math.min(to, Math.max(from, value))}
        disabled={value === 0 && allowed.orNothing === true && allowed.from > 0}
        list={allowed.stops === null ? undefined : `${id}-stops`}
        onChange={({ target }) => put(target.valueAsNumber)}
        onKeyDown={onKeyDown}
      />
      {allowed.stops !== null && (
        <datalist id={`${id}-stops`}>
          {allowed.stops.map((stop) => (
            <option key={stop} value={stop} />
          ))}
        </datalist>
      )}
    </>
  );
}

function valueText({ value, allowed, dimension, units }: PoseSliderProps): string {
  if (value === 0 && allowed.from > 0) return 'absent';
  return quantityText(value, dimension, units);
}

const KEY_STEPS: Readonly<Record<string, number>> = {
  ArrowLeft: -1,
  ArrowDown: -1,
  ArrowRight: 1,
  ArrowUp: 1,
  PageDown: -10,
  PageUp: 10,
};

function nextStop(stops: readonly number[], value: number, steps: number): number {
  const at = stops.findIndex((stop) => Math.abs(stop - value) < 1e-9);
  const next = Math.min(stops.length - 1, Math.max(0, at + Math.sign(steps)));
  return stops[next] ?? value;
}

function PoseField(props: PoseRowProps & { readonly label: string }) {
  const { label, dimension, value, allowed, mixed = false, onChange } = props;
  const units = useWorkbench((s) => s.units);
  const [draft, setDraft] = useState<string | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const id = useId();
  const isAbsent = value === 0 && allowed.from > 0 && dimension === 'mass';
  const commit = (): void => {
    if (draft === null) return;
    const read = readTyped(draft, dimension, units, allowed);
    setProblem(read.kind === 'ok' ? null : read.words);
    if (read.kind !== 'ok') return;
    setDraft(null);
    if (mixed || read.value !== value) onChange(read.value);
  };
  const onKeyDown = (event: KeyboardEvent): void => {
    if (event.key === 'Enter') commit();
    if (event.key !== 'Escape') return;
    setDraft(null);
    setProblem(null);
  };
  return (
    <span className="pose-row-field">
      <input
        className="kit-input"
        aria-label={label}
        aria-invalid={problem !== null}
        aria-describedby={problem === null ? undefined : id}
        value={
          draft ?? (mixed ? 'differ' : isAbsent ? 'absent' : fieldText(value, dimension, units))
        }
        onChange={({ target }) => setDraft(target.value)}
        onBlur={commit}
        onKeyDown={onKeyDown}
      />
      {problem !== null && (
        <span id={id} className="kit-problem" role="alert">
          {problem}
        </span>
      )}
    </span>
  );
}
