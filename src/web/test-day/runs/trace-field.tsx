/** A force gauge's file of one reading: peak, hold, onset of slip, and the user's own onset. */

import { useEffect, useId, useState } from 'react';
import { quantityText } from '../../../analysis/index.js';
import { TraceFigure } from '../../../figure/index.js';
import type { GaugeTrace, SlipOnset, TraceReading } from '../../../metrology/index.js';
import { readGaugeFile, readTrace, uncertaintyText } from '../../../metrology/index.js';
import type { TraceTaken } from '../../../test-record/index.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import { QuantityField, TextField } from '../form/fields.js';
import { SureButton } from '../form/sure-button.js';
import { useTestDayStore } from '../use-test-day.js';
import { ownOnset } from './own-onset.js';

interface TraceFieldProps {
  readonly trace: TraceTaken | null;
  readonly problem: string | null;
  /** @param load that the trace suggests, as typed; null: none */
  readonly onChange: (trace: TraceTaken | null, load: string | null) => void;
}

interface Read {
  readonly trace: GaugeTrace;
  readonly reading: TraceReading;
}

export function TraceField({ trace, problem, onChange }: TraceFieldProps) {
  const store = useTestDayStore();
  const id = useId();
  const [problems, setProblems] = useState<readonly string[]>([]);
  const read = useRead(trace?.file.hash ?? null, trace?.file.name ?? '');
  const take = async (file: File): Promise<void> => {
    const outcome = readGaugeFile(await file.text(), file.name);
    if (outcome.kind === 'refused') {
      setProblems(outcome.issues.map(({ message }) => message));
      return;
    }
    setProblems(outcome.warnings);
    const kept = await store.getState().attach(file, file.name);
    if (kept === null) return;
    const taken = takenOf(kept, readTrace(outcome.trace));
    onChange(taken, suggestedLoad(taken));
  };
  return (
    <div className="run-trace">
      <div className="form-field">
        <label htmlFor={id}>
          {trace === null ? 'File' : 'Another file'} of the force gauge (CSV)
        </label>
        <input
          id={id}
          type="file"
          accept=".csv,.txt,.tsv,text/csv,text/plain"
          onChange={(event) => {
            const [file] = event.target.files ?? [];
            event.target.value = '';
            if (file !== undefined) void take(file);
          }}
        />
      </div>
      {problems.length > 0 && (
        <div role="alert">
          {problems.map((each) => (
            <p key={each} className="kit-problem">
              {each}
            </p>
          ))}
        </div>
      )}
      {problem !== null && <p className="kit-problem">{problem}</p>}
      {trace !== null && (
        <>
          <TraceWords trace={trace} read={read} />
          {read !== null && <Drawn trace={trace} read={read} />}
          <Overruled trace={trace} read={read} onChange={onChange} />
          <SureButton
            words="Take the file off this reading"
            asks={trace.overruled === null ? null : 'Your own onset of slip goes with it.'}
            sure="Take it off"
            onSure={() => onChange(null, null)}
          />
        </>
      )}
    </div>
  );
}

function takenOf(file: TraceTaken['file'], { peak, hold, onset }: TraceReading): TraceTaken {
  return {
    file,
    peak: { time: peak.time, force: peak.force },
    hold: hold?.force.value ?? null,
    onset:
      onset.kind !== 'found'
        ? null
        : {
            time: onset.onset.time.value,
            force: onset.onset.force.value,
            u: onset.onset.force.u,
            timeU: onset.onset.time.u,
          },
    overruled: null,
  };
}

/** Digits of a force that is put into a field: finer than any gauge shows. */
const DIGITS = 5;

function suggestedLoad({ onset, overruled, hold }: TraceTaken): string | null {
  const force = overruled?.force ?? onset?.force ?? hold;
  return force === null || force === undefined ? null : `${Number(force.toPrecision(DIGITS))} N`;
}

/** The file read again: it is kept as a file, and only what was taken from it stands in the record. */
function useRead(hash: string | null, name: string): Read | null {
  const store = useTestDayStore();
  const [read, setRead] = useState<Read | null>(null);
  useEffect(() => {
    let isWanted = true;
    setRead(null);
    if (hash === null) return;
    void store
      .getState()
      .fileText(hash)
      .then((text) => {
        if (!isWanted || text === null) return;
        const outcome = readGaugeFile(text, name);
        if (outcome.kind === 'ok') {
          setRead({ trace: outcome.trace, reading: readTrace(outcome.trace) });
        }
      });
    return () => {
      isWanted = false;
    };
  }, [store, hash, name]);
  return read;
}

function TraceWords({ trace, read }: { readonly trace: TraceTaken; readonly read: Read | null }) {
  const units = useWorkbench((s) => s.units);
  const force = (value: number): string => quantityText(value, 'force', units);
  const { peak, hold, onset, overruled } = trace;
  return (
    <ul className="run-trace-words">
      <li>{trace.file.name}</li>
      <li>Peak {force(peak.force)}</li>
      <li>{hold === null ? 'No level stretch' : `Held level at ${force(hold)}`}</li>
      <li>
        {onset === null
          ? `No onset of slip found${reasonWords(read)}`
          : `Slip begins at ${force(onset.force)}, give or take ${uncertaintyText(2 * onset.u, 'force', units)} (k = 2)`}
      </li>
      {overruled !== null && (
        <li>
          <strong>Overruled: {force(overruled.force)}</strong>, since {overruled.reason}
        </li>
      )}
    </ul>
  );
}

function reasonWords(read: Read | null): string {
  const onset = read?.reading.onset;
  return onset === undefined || onset.kind === 'found' ? '' : `: ${onset.reason}`;
}

function Drawn({ trace, read }: { readonly trace: TraceTaken; readonly read: Read }) {
  const units = useWorkbench((s) => s.units);
  return (
    <div className="run-trace-figure">
      <TraceFigure
        trace={read.trace}
        reading={read.reading}
        overruled={trace.overruled}
        units={units}
      />
    </div>
  );
}

interface OverruledProps {
  readonly trace: TraceTaken;
  readonly read: Read | null;
  readonly onChange: (trace: TraceTaken, load: string | null) => void;
}

function Overruled({ trace, read, onChange }: OverruledProps) {
  const [isOpen, setIsOpen] = useState(trace.overruled !== null);
  // where the rise breaks without being judged is where one would look first
  const candidate = candidateOf(read);
  const [time, setTime] = useState(() => secondsOf(trace.overruled?.time));
  const [give, setGive] = useState(() => newtonsOf(trace.overruled?.u));
  const openIt = (): void => {
    setIsOpen(true);
    if (candidate === null || time !== '') return;
    setTime(secondsOf(rounded(candidate.time.value)));
    setGive(newtonsOf(rounded(candidate.force.u)));
  };
  const [reason, setReason] = useState(trace.overruled?.reason ?? '');
  if (!isOpen) {
    return (
      <button type="button" className="kit-button" onClick={openIt}>
        {candidate === null ? 'Overrule the onset' : 'Set the onset'}
      </button>
    );
  }
  const own = ownOnset(read?.trace ?? null, time, give, reason);
  const set = (): void => {
    if (own.kind !== 'ok') return;
    const overruled = { ...trace, overruled: own.onset };
    onChange(overruled, suggestedLoad(overruled));
  };
  const drop = (): void => {
    setIsOpen(false);
    const agreed = { ...trace, overruled: null };
    onChange(agreed, suggestedLoad(agreed));
  };
  return (
    <fieldset className="run-overruled">
      <legend>Your own onset of slip</legend>
      <div className="form-fields">
        <QuantityField
          label="At the time"
          dimension="time"
          example="3.42 s"
          value={time}
          onChange={setTime}
        />
        <QuantityField
          label="Standard uncertainty of the force"
          dimension="force"
          example="2 N"
          value={give}
          onChange={setGive}
        />
        <TextField label="Why" value={reason} wide onChange={setReason} />
      </div>
      {own.kind === 'problem' && <p className="form-hint">{own.words}</p>}
      <div className="form-answers">
        <button type="button" className="kit-button" disabled={own.kind !== 'ok'} onClick={set}>
          Take this onset
        </button>
        <button type="button" className="kit-button" onClick={drop}>
          Agree with the one found
        </button>
      </div>
    </fieldset>
  );
}

/** Where the rise breaks, of a trace by which slip and a hand that holds look alike. */
function candidateOf(read: Read | null): SlipOnset | null {
  const onset = read?.reading.onset;
  return onset?.kind === 'not judged' ? onset.candidate : null;
}

const rounded = (value: number): number => Number(value.toPrecision(DIGITS));
const secondsOf = (time: number | undefined): string => (time === undefined ? '' : `${time} s`);
const newtonsOf = (u: number | undefined): string => (u === undefined ? '' : `${u} N`);
