/** The record of one run: written at the ramp, kept as it is typed. */

import { useMemo } from 'react';
import type { TestRun } from '../../../test-plan/index.js';
import type { PlanBody, RecordState, RunBody, Subject } from '../../../test-record/index.js';
import { loadDimension, recordsOf, subjectTitle } from '../../../test-record/index.js';
import { useWorkbenchStore } from '../../kit/use-workbench.js';
import { ChoiceField, TextField } from '../form/fields.js';
import { PhotoField } from '../form/photos.js';
import { SureButton } from '../form/sure-button.js';
import { FORCE_UNITS, LENGTH_UNITS, MASS_UNITS } from '../form/typed-number.js';
import { UnitChoice } from '../form/unit-choice.js';
import type { Problems } from '../form/use-form.js';
import { useForm, useProblems } from '../form/use-form.js';
import { WhatIsMissing } from '../form/what-is-missing.js';
import { useTestDay, useTestDayStore } from '../use-test-day.js';
import { Preview } from './preview.js';
import { ReadingFields } from './reading-fields.js';
import { proposedRetest, retestChoices } from './retest-choices.js';
import type { Asked, RunDraft, RunUnits } from './run-draft.js';
import {
  askedOf,
  bodyOf,
  draftOf,
  isEmpty,
  localMoment,
  NO_READING,
  newDraft,
  suggestedInstruments,
  usualUnits,
} from './run-draft.js';
import { runProblemWords } from './run-problem-words.js';
import { UsedInstruments } from './used-instruments.js';

interface RunFormProps {
  readonly plan: RecordState<PlanBody>;
  readonly run: TestRun;
  /** an earlier record to be changed; null: a new one */
  readonly corrected: RecordState<RunBody> | null;
  readonly onDone: () => void;
}

/** Under which a half-filled record of a run is kept. */
export function newRunKey(plan: Subject, run: string): string {
  return `run ${plan} ${run}`;
}

export function RunForm({ plan, run, corrected, onDone }: RunFormProps) {
  const store = useTestDayStore();
  const who = useTestDay((s) => s.who);
  const begin = useBeginning(plan, run, corrected);
  const key = corrected === null ? newRunKey(plan.subject, run.id) : `run ${corrected.subject}`;
  const form = useForm<RunDraft>(key, begin);
  const { value, change } = form;
  const body = useMemo(() => bodyOf(value, plan.subject, run), [value, plan, run]);
  const wishes = useMemo(
    () =>
      corrected === null
        ? {}
        : { subject: corrected.subject, base: value.base ?? corrected.newest, why: value.why },
    [corrected, value.base, value.why],
  );
  const problems = useProblems(body, wishes);
  const write = async (): Promise<void> => {
    const written = await store.getState().write(body, wishes);
    if (written === null) return;
    form.clear();
    onDone();
  };
  return (
    <section className="form run-form" aria-label="Record this run">
      <h3>{corrected === null ? 'Record this run' : 'Change the record'}</h3>
      <Circumstances {...{ plan, run, value, change, problems }} isStarted={form.isStarted} />
      <UsedInstruments
        used={value.instruments}
        taken={body.taken}
        problems={problems}
        onChange={(instruments) => change({ instruments })}
      />
      <Readings run={run} value={value} change={change} problems={problems} />
      <Rest value={value} change={change} problems={problems} isCorrected={corrected !== null} />
      <Preview plan={plan} run={run} body={body} />
      <WhatIsMissing problems={problems} isShown={form.isStarted} wordsOf={runProblemWords} />
      <div className="form-answers">
        <button
          type="button"
          className="kit-button is-main"
          disabled={problems.all.length > 0 || who.trim() === ''}
          onClick={() => void write()}
        >
          {corrected === null ? 'Write the record' : 'Write the change'}
        </button>
        {(form.isStarted || corrected !== null) && (
          <SureButton
            words={corrected === null ? 'Begin anew' : 'Leave it as it was'}
            asks={form.isStarted ? 'What was typed here will be gone.' : null}
            sure="Discard it"
            onSure={() => {
              form.clear();
              onDone();
            }}
          />
        )}
        {who.trim() === '' && <span className="kit-problem">Say above who you are.</span>}
      </div>
    </section>
  );
}

function useBeginning(
  plan: RecordState<PlanBody>,
  run: TestRun,
  corrected: RecordState<RunBody> | null,
): () => RunDraft {
  const store = useTestDayStore();
  const workbench = useWorkbenchStore();
  return () => {
    if (corrected !== null) return draftOf(corrected, run);
    const { state, who } = store.getState();
    const samples = state === null ? [] : recordsOf(state, 'sample');
    const built = samples.filter(
      ({ content, withdrawn }) => !withdrawn && content.cart === plan.content.cart,
    );
    const now = new Date().toISOString();
    return newDraft({
      run,
      units: usualUnits(workbench.getState().units),
      sample: built.at(-1)?.subject ?? '',
      operator: who,
      now: localMoment(now),
      instruments:
        state === null
          ? []
          : suggestedInstruments(
              plan.content.plan,
              run.id,
              recordsOf(state, 'instrument'),
              now.slice(0, 10),
            ),
      retestOf: state === null ? '' : proposedRetest(retestChoices(state, plan, run)),
    });
  };
}

interface PartProps {
  readonly value: RunDraft;
  readonly change: (change: Partial<RunDraft>) => void;
  readonly problems: Problems;
}

interface CircumstancesProps extends PartProps {
  readonly plan: RecordState<PlanBody>;
  readonly run: TestRun;
  /** an empty form is not wrong */
  readonly isStarted: boolean;
}

function Circumstances({ plan, run, value, change, problems, isStarted }: CircumstancesProps) {
  const state = useTestDay((s) => s.state);
  const samples = state === null ? [] : recordsOf(state, 'sample').filter((s) => !s.withdrawn);
  const failed = useFailures(plan, run, value.retestOf);
  return (
    <div className="form-fields">
      <ChoiceField
        label="Sample"
        value={value.sample}
        among={samples.map(({ subject, content }) => ({
          value: subject,
          words: `${content.name} ${content.serial}`.trim(),
        }))}
        problem={sampleProblem(value.sample, isStarted, problems)}
        hint={samples.length === 0 ? 'None is there yet: see Sample.' : ''}
        onChange={(sample) => change({ sample })}
      />
      <TextField
        label="Done at"
        type="datetime-local"
        value={value.taken}
        problem={problems.at('taken')}
        onChange={(taken) => change({ taken })}
      />
      <TextField
        label="Operator"
        value={value.operator}
        problem={problems.at('operator')}
        onChange={(operator) => change({ operator })}
      />
      <TextField
        label="Temperature"
        value={value.temperature}
        problem={problems.at('temperature')}
        hint="such as 21 degC"
        onChange={(temperature) => change({ temperature })}
      />
      {failed.length > 0 && (
        <ChoiceField
          label="Repeats a failed run after a change"
          value={value.retestOf === '' ? 'none' : value.retestOf}
          among={[{ value: 'none', words: 'no' }, ...failed]}
          problem={problems.at('retestOf')}
          hint="Links the failure, the change and this run."
          wide
          onChange={(retestOf) => change({ retestOf: retestOf === 'none' ? '' : retestOf })}
        />
      )}
    </div>
  );
}

/** A sample that is not chosen has no id that could be wrong. */
function sampleProblem(sample: string, isStarted: boolean, problems: Problems): string | null {
  if (sample !== '') return problems.at('sample');
  return isStarted ? 'Choose the sample that was tested.' : null;
}

interface Failure {
  readonly value: Subject;
  readonly words: string;
}

/** Those that may be repeated, and the one that was chosen whatever it is. */
function useFailures(
  plan: RecordState<PlanBody>,
  run: TestRun,
  chosen: Subject | '',
): readonly Failure[] {
  const state = useTestDay((s) => s.state);
  return useMemo(() => {
    if (state === null) return [];
    const choices: readonly Failure[] = retestChoices(state, plan, run);
    if (chosen === '' || choices.some(({ value }) => value === chosen)) return choices;
    return [...choices, { value: chosen, words: subjectTitle(state, chosen) }];
  }, [state, plan, run, chosen]);
}

function Readings({ run, value, change, problems }: PartProps & { readonly run: TestRun }) {
  const asked = useMemo(() => askedOf(run), [run]);
  const { readings, units } = value;
  const last = readings.at(-1);
  return (
    <div className="run-readings">
      <Units
        asked={asked}
        run={run}
        units={units}
        onChange={(part) => change({ units: { ...units, ...part } })}
      />
      {readings.map((reading, i) => (
        <ReadingFields
          // readings have no name of their own, and are only added and taken off at the end
          // biome-ignore lint/suspicious/noArrayIndexKey: see above
          key={i}
          number={i + 1}
          run={run}
          asked={asked}
          units={units}
          reading={reading}
          problemAt={(field) => problems.at('readings', i, ...field)}
          onChange={(part) =>
            change({ readings: readings.map((each, k) => (k === i ? { ...each, ...part } : each)) })
          }
        />
      ))}
      {problems.at('readings') !== null && readings.length === 0 && (
        <p className="kit-problem">{problems.at('readings')}</p>
      )}
      <div className="form-answers">
        <button
          type="button"
          className="kit-button"
          onClick={() => change({ readings: [...readings, NO_READING] })}
        >
          Add a repeat
        </button>
        {readings.length > 1 && (
          <SureButton
            words="Take the last repeat off"
            asks={
              last === undefined || isEmpty(last)
                ? null
                : `Reading ${readings.length} will be gone.`
            }
            sure="Take it off"
            onSure={() => change({ readings: readings.slice(0, -1) })}
          />
        )}
      </div>
    </div>
  );
}

interface UnitsProps {
  readonly asked: Asked;
  readonly run: TestRun;
  readonly units: RunUnits;
  readonly onChange: (part: Partial<RunUnits>) => void;
}

/** Said once, so that a reading is a number and no more. */
function Units({ asked, run, units, onChange }: UnitsProps) {
  const readsForce = asked.forceToMove || (asked.load && loadDimension(run.loading) === 'force');
  return (
    <div className="run-units">
      {readsForce && (
        <UnitChoice
          label="The force gauge shows"
          value={units.force}
          among={FORCE_UNITS}
          onChange={(force) => onChange({ force })}
        />
      )}
      {asked.castorLoad && (
        <UnitChoice
          label="The scale shows"
          value={units.mass}
          among={MASS_UNITS}
          onChange={(mass) => onChange({ mass })}
        />
      )}
      {asked.movement && (
        <UnitChoice
          label="The tape shows"
          value={units.length}
          among={LENGTH_UNITS}
          onChange={(length) => onChange({ length })}
        />
      )}
    </div>
  );
}

function Rest({
  value,
  change,
  problems,
  isCorrected,
}: PartProps & { readonly isCorrected: boolean }) {
  return (
    <div className="form-fields">
      <TextField
        label="Done otherwise than planned"
        value={value.deviations}
        problem={problems.at('deviations')}
        hint="Empty: as planned."
        long
        onChange={(deviations) => change({ deviations })}
      />
      <TextField
        label="Notes"
        value={value.notes}
        problem={problems.at('notes')}
        long
        onChange={(notes) => change({ notes })}
      />
      <PhotoField
        label="Photos"
        photos={value.photos}
        problem={problems.at('photos')}
        onChange={(photos) => change({ photos })}
      />
      {isCorrected && (
        <TextField
          label="Why it is changed"
          value={value.why}
          problem={problems.at('why')}
          hint="Kept with the entry; needed once the record was reviewed."
          wide
          onChange={(why) => change({ why })}
        />
      )}
    </div>
  );
}
