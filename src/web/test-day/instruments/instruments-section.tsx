/** The instruments of the project, whether each may be used, and what the plan needs beyond them. */

import './instruments-section.css';
import { useState } from 'react';
import type { InstrumentKind } from '../../../test-plan/index.js';
import type { InstrumentBody, RecordState } from '../../../test-record/index.js';
import { useTestDayStore } from '../use-test-day.js';
import type { CalibrationState } from './calibration.js';
import { calibrationState, calibrationWords } from './calibration.js';
import { formKey, InstrumentForm } from './instrument-form.js';
import { KINDS_OF_INSTRUMENT } from './instrument-kinds.js';
import { MissingInstruments } from './missing-instruments.js';
import { useInstruments } from './use-instruments.js';
import { WithdrawInstrument } from './withdraw-instrument.js';

type Asked =
  | { readonly kind: 'add'; readonly instrument: InstrumentKind | null }
  | { readonly kind: 'edit' | 'withdraw'; readonly subject: string };

export function InstrumentsSection() {
  const store = useTestDayStore();
  const { all, today } = useInstruments();
  const [asked, setAsked] = useState<Asked | null>(() => {
    // one that was half filled in is taken up again
    const started = (subject: string | null) => store.getState().draft(formKey(subject)) !== null;
    const edited = all.find(({ subject }) => started(subject));
    if (edited !== undefined) return { kind: 'edit', subject: edited.subject };
    return started(null) ? { kind: 'add', instrument: null } : null;
  });
  const close = (): void => setAsked(null);
  return (
    <div className="instruments">
      <div className="instruments-head">
        <h2>Instruments</h2>
        {asked?.kind !== 'add' && (
          <button
            type="button"
            className="kit-button is-main"
            onClick={() => setAsked({ kind: 'add', instrument: null })}
          >
            Add an instrument
          </button>
        )}
      </div>
      <MissingInstruments onAdd={(instrument) => setAsked({ kind: 'add', instrument })} />
      {asked?.kind === 'add' && (
        <InstrumentForm
          key={asked.instrument}
          record={null}
          kind={asked.instrument}
          onClose={close}
        />
      )}
      {all.length === 0 ? (
        <p className="instruments-empty">
          No instrument yet. Whatever is read off on the day is read with one: its certificate says
          how far the reading can be off, and a run that is recorded with one past its due date asks
          for a reason.
        </p>
      ) : (
        <InstrumentTable records={all} today={today} asked={asked} onAsk={setAsked} />
      )}
    </div>
  );
}

interface TableProps {
  readonly records: readonly RecordState<InstrumentBody>[];
  readonly today: string;
  readonly asked: Asked | null;
  readonly onAsk: (asked: Asked | null) => void;
}

function InstrumentTable({ records, today, asked, onAsk }: TableProps) {
  return (
    <table className="instruments-table">
      <thead>
        <tr>
          <th scope="col">Instrument</th>
          <th scope="col">Serial</th>
          <th scope="col">Certificate</th>
          <th scope="col">Calibrated</th>
          <th scope="col">Due</th>
          <th scope="col">Range and resolution</th>
          <th scope="col">Uncertainty</th>
          <th scope="col">
            <span className="kit-hidden">What can be done</span>
          </th>
        </tr>
      </thead>
      <tbody>
        {records.map((record) => {
          const { subject } = record;
          const own = asked !== null && asked.kind !== 'add' && asked.subject === subject;
          return (
            <InstrumentRows
              key={subject}
              record={record}
              today={today}
              asked={own ? asked.kind : null}
              onAsk={onAsk}
            />
          );
        })}
      </tbody>
    </table>
  );
}

interface RowsProps {
  readonly record: RecordState<InstrumentBody>;
  readonly today: string;
  readonly asked: 'edit' | 'withdraw' | 'add' | null;
  readonly onAsk: (asked: Asked | null) => void;
}

function InstrumentRows({ record, today, asked, onAsk }: RowsProps) {
  const close = (): void => onAsk(null);
  return (
    <>
      <InstrumentRow record={record} today={today} isAsked={asked !== null} onAsk={onAsk} />
      {asked !== null && (
        <tr>
          <td colSpan={8} className="instruments-form-cell">
            {asked === 'edit' ? (
              <InstrumentForm record={record} kind={null} onClose={close} />
            ) : (
              <WithdrawInstrument record={record} onClose={close} />
            )}
          </td>
        </tr>
      )}
    </>
  );
}

interface RowProps extends Pick<RowsProps, 'record' | 'today' | 'onAsk'> {
  readonly isAsked: boolean;
}

function InstrumentRow({ record, today, isAsked, onAsk }: RowProps) {
  const { subject, content, withdrawn } = record;
  const { instrument, name, serial, certificate, calibrated, due } = content;
  return (
    <tr data-withdrawn={withdrawn || undefined}>
      <th scope="row" data-label="Instrument">
        <span className="instruments-name">{name}</span>
        <span className="instruments-kind">{KINDS_OF_INSTRUMENT[instrument].words}</span>
        {withdrawn && <span className="instruments-kind">withdrawn</span>}
      </th>
      <td data-label="Serial">{orDash(serial)}</td>
      <td data-label="Certificate">{orDash(certificate)}</td>
      <td data-label="Calibrated">
        <Day day={calibrated} />
      </td>
      <td data-label="Due">
        {due !== null && <Day day={due} />}
        {!withdrawn && <DueState state={calibrationState(due, today)} />}
      </td>
      <td data-label="Range and resolution">{rangeOf(content)}</td>
      <td data-label="Uncertainty">{uncertaintyOf(content)}</td>
      <td className="instruments-acts">
        {!isAsked && (
          <>
            <button
              type="button"
              className="kit-button"
              aria-label={`Edit ${name}`}
              onClick={() => onAsk({ kind: 'edit', subject })}
            >
              Edit
            </button>
            {!withdrawn && (
              <button
                type="button"
                className="kit-button is-quiet"
                aria-label={`Withdraw ${name}`}
                onClick={() => onAsk({ kind: 'withdraw', subject })}
              >
                Withdraw
              </button>
            )}
          </>
        )}
      </td>
    </tr>
  );
}

export function DueState({ state }: { readonly state: CalibrationState }) {
  return (
    <span className="instruments-due" data-state={state.kind}>
      {calibrationWords(state)}
    </span>
  );
}

function Day({ day }: { readonly day: string | null }) {
  return day === null ? '-' : <span className="instruments-day">{day}</span>;
}

function orDash(text: string | null): string {
  return text === null || text === '' ? '-' : text;
}

function rangeOf({ from, to, resolution }: InstrumentBody): string {
  const range =
    from !== null && to !== null
      ? `${from} to ${to}`
      : to !== null
        ? `up to ${to}`
        : from !== null
          ? `from ${from}`
          : '';
  const steps = resolution === null ? '' : `in steps of ${resolution}`;
  return orDash([range, steps].filter((each) => each !== '').join(', '));
}

function uncertaintyOf({ uncertainty, coverage }: InstrumentBody): string {
  return uncertainty === null ? 'not stated' : `${uncertainty} (k\u00a0=\u00a0${coverage})`;
}
