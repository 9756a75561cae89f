/** The samples under test: what they are, what they weigh, how they grip, and what that says of the model. */

import './sample.css';
import { useMemo } from 'react';
import type { RecordState, SampleBody } from '../../../test-record/index.js';
import { recordOf, recordsOf } from '../../../test-record/index.js';
import { Photos } from '../form/photos.js';
import { useForm } from '../form/use-form.js';
import { useRecordCart } from '../use-record-cart.js';
import { useTestDay, useTestDayStore } from '../use-test-day.js';
import { FrictionTests } from './friction-tests.js';
import { ModelPanel } from './model-panel.js';
import type { Asking } from './record-acts.js';
import { RecordActs, useAsked } from './record-acts.js';
import { SampleForm, sampleFormKey } from './sample-form.js';
import { Weighings } from './weighings.js';

type Sample = RecordState<SampleBody>;

export function SampleSection() {
  const state = useTestDay((s) => s.state);
  const samples = useMemo(() => (state === null ? [] : recordsOf(state, 'sample')), [state]);
  // kept as half-filled forms are: the one at the bench stays chosen while other parts are looked at
  const choice = useForm<{ readonly subject: string | null }>('sample shown', () => ({
    subject: null,
  }));
  const asking = useAsked(samples, sampleFormKey);
  const shown =
    samples.find(({ subject }) => subject === choice.value.subject) ??
    samples.findLast(({ withdrawn }) => !withdrawn) ??
    samples.at(-1);
  return (
    <div className="sample">
      <SampleChoice
        samples={samples}
        shown={shown ?? null}
        asking={asking}
        onChoose={(subject) => choice.change({ subject })}
      />
      {asking.asked?.kind === 'add' && <SampleForm record={null} onClose={asking.close} />}
      {shown === undefined ? (
        asking.asked === null && <NoSample />
      ) : (
        <SamplePage key={shown.subject} sample={shown} asking={asking} />
      )}
    </div>
  );
}

function NoSample() {
  const store = useTestDayStore();
  const hasCart = useTestDay((s) => s.state !== null && recordsOf(s.state, 'cart').length > 0);
  return (
    <div className="sample-empty">
      <p>
        No sample yet. A sample is the cart that stands on the bench: it is weighed, its friction is
        measured, and the runs are done with it.
      </p>
      {!hasCart && (
        <button type="button" className="kit-button" onClick={() => store.getState().show('Plan')}>
          Take a revision of the cart first
        </button>
      )}
    </div>
  );
}

interface SampleChoiceProps {
  readonly samples: readonly Sample[];
  readonly shown: Sample | null;
  readonly asking: Asking;
  readonly onChoose: (subject: string) => void;
}

function SampleChoice({ samples, shown, asking, onChoose }: SampleChoiceProps) {
  return (
    <div className="sample-head">
      <h2>Sample</h2>
      <ul className="plain sample-choice" aria-label="Samples">
        {samples.map(({ subject, content, withdrawn }) => (
          <li key={subject}>
            <button
              type="button"
              className="kit-button"
              aria-pressed={subject === shown?.subject}
              data-withdrawn={withdrawn || undefined}
              title={`${content.name} ${content.serial}`.trim()}
              onClick={() => onChoose(subject)}
            >
              {`${content.name} ${content.serial}`.trim()}
              {withdrawn && ' (withdrawn)'}
            </button>
          </li>
        ))}
      </ul>
      {asking.asked?.kind !== 'add' && (
        <button
          type="button"
          className="kit-button is-main"
          onClick={() => asking.ask({ kind: 'add' })}
        >
          Add a sample
        </button>
      )}
    </div>
  );
}

interface SamplePageProps {
  readonly sample: Sample;
  readonly asking: Asking;
}

function SamplePage({ sample, asking }: SamplePageProps) {
  const { subject, content } = sample;
  const { cart, problem } = useRecordCart(content.cart);
  return (
    <>
      <section className="sample-panel" aria-label={`Sample ${content.name}`}>
        <About sample={sample} />
        <RecordActs
          record={sample}
          {...asking}
          what={`the sample ${content.name}`}
          meaning="No new run can be done with it."
        >
          <SampleForm record={sample} onClose={asking.close} />
        </RecordActs>
      </section>
      {problem !== null && <p className="kit-problem">{problem}</p>}
      {cart === null ? (
        problem === null && <p className="kit-soft">The cart of its revision is being read.</p>
      ) : (
        <>
          <Weighings sample={subject} cart={cart} />
          <FrictionTests sample={subject} cart={cart} />
          <ModelPanel sample={sample} cart={cart} />
        </>
      )}
    </>
  );
}

function About({ sample: { content, withdrawn, reviewedAt } }: { readonly sample: Sample }) {
  const revision = useTestDay((s) =>
    s.state === null ? null : (recordOf(s.state, 'cart', content.cart)?.content.revision ?? null),
  );
  const { name, serial, condition, received, photos, notes } = content;
  return (
    <>
      <h3 className="sample-name">{name}</h3>
      <dl className="sample-about">
        <Fact label="Serial number" text={serial} />
        <Fact label="Built to revision" text={revision ?? 'not known'} />
        <Fact label="Received" text={received ?? ''} />
        <Fact label="Condition" text={condition} />
        <Fact label="Notes" text={notes} />
        <Fact
          label="Record"
          text={withdrawn ? 'withdrawn' : reviewedAt === null ? '' : 'reviewed'}
        />
      </dl>
      <Photos photos={photos} />
    </>
  );
}

function Fact({ label, text }: { readonly label: string; readonly text: string }) {
  if (text === '') return null;
  return (
    <div>
      <dt>{label}</dt>
      <dd>{text}</dd>
    </div>
  );
}
