/** The model against the sample: what differs, which masses make the sample that was weighed, and what the
 * measured values change in the predictions. */

import { useMemo } from 'react';
import type { Cart } from '../../../document/index.js';
import type { RecordState, SampleBody } from '../../../test-record/index.js';
import { momentOf } from '../history/entry-words.js';
import { useTestDay } from '../use-test-day.js';
import type { MeasuredSample } from './measured-model.js';
import { cartAsMeasured, measuredKey, measuredSample } from './measured-model.js';
import { PredictAgain } from './predict-again.js';
import { PutOnSheet } from './put-on-sheet.js';
import { ReconciliationView } from './reconciliation-view.js';
import { Problems } from './weighing-result.js';

interface ModelPanelProps {
  readonly sample: RecordState<SampleBody>;
  readonly cart: Cart;
}

export function ModelPanel({ sample, cart }: ModelPanelProps) {
  const state = useTestDay((s) => s.state);
  const measured = useMemo(
    () => (state === null ? null : measuredSample(state, cart, sample.subject)),
    [state, cart, sample.subject],
  );
  if (measured === null) return null;
  return (
    <section className="sample-panel" aria-labelledby="sample-model">
      <h2 id="sample-model">Model against sample</h2>
      <Measured measured={measured} cart={cart} sample={sample} />
    </section>
  );
}

interface MeasuredProps extends ModelPanelProps {
  readonly measured: MeasuredSample;
}

function Measured({ measured, cart, sample }: MeasuredProps) {
  const { weighing, reconciliation, friction, problems } = measured;
  const asMeasured = useMemo(() => cartAsMeasured(cart, measured), [cart, measured]);
  if (weighing === null && friction.length === 0) {
    return (
      <p className="kit-soft">
        As soon as the sample is weighed or its friction measured, the model is compared with it
        here.
      </p>
    );
  }
  return (
    <>
      <p className="kit-soft">{sourceWords(measured)}</p>
      {problems.length > 0 && <Problems problems={problems} />}
      {reconciliation !== null && (
        <>
          <ReconciliationView reconciliation={reconciliation} />
          <PutOnSheet reconciliation={reconciliation} revision={sample.content.cart} />
        </>
      )}
      {asMeasured.kind === 'refused' && <p className="kit-problem">{asMeasured.reason}</p>}
      {asMeasured.kind === 'ok' && (
        <PredictAgain
          key={measuredKey(measured)}
          cart={asMeasured.cart}
          revision={sample.content.cart}
        />
      )}
    </>
  );
}

/** What of the record it rests on. */
function sourceWords({ weighing, friction }: MeasuredSample): string {
  const weighed =
    weighing === null
      ? 'The sample was not weighed: masses are those of the model.'
      : `The weighing of ${momentOf(weighing.content.taken)} counts, in the position ${weighing.content.position}.`;
  const treads = friction.map(({ record }) => record.content.tread);
  const slid =
    treads.length === 0
      ? 'Friction was not measured: it is as the cart file states.'
      : `Friction was measured of ${treads.join(', ')}.`;
  return `${weighed} ${slid}`;
}
