/** The state that a cart is weighed in, with a drawing that tells the castors apart. */

import { memo, useMemo } from 'react';
import { poseCart } from '../../../analysis/index.js';
import type { Cart } from '../../../document/index.js';
import { PlanView } from '../../../figure/index.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import { ChoiceField, QuantityField } from '../form/fields.js';
import type { Texts, WeighingDraft } from './weighing-draft.js';
import { moverDimension, poseOfDraft, stateOf } from './weighing-draft.js';

export interface WeighingPartProps {
  readonly cart: Cart;
  readonly value: WeighingDraft;
  readonly change: (change: Partial<WeighingDraft>) => void;
  readonly told: (text: string, ...path: readonly (string | number)[]) => string | null;
}

export function WeighingState({ cart, value, change, told }: WeighingPartProps) {
  const units = useWorkbench((s) => s.units);
  const { movers, loads, swivels } = value;
  return (
    <div className="sample-beside">
      <div className="form-fields">
        <ChoiceField
          label="Position"
          value={value.position}
          among={cart.positions.map(({ name }) => ({ value: name, words: name }))}
          problem={told(value.position, 'position')}
          hint="sets movers and loads as it begins"
          wide
          onChange={(position) => change(stateOf(cart, position, units))}
        />
        <TextsFields
          field="movers"
          texts={movers}
          dimensionOf={(name) => moverDimension(cart, name)}
          {...{ change, told }}
        />
        <TextsFields field="loads" texts={loads} dimensionOf={() => 'mass'} {...{ change, told }} />
        <TextsFields
          field="swivels"
          texts={swivels}
          dimensionOf={() => 'angle'}
          {...{ change, told }}
        />
        {Object.keys(swivels).length > 0 && (
          <p className="form-hint is-wide">
            A castor turned: from its stem to where the wheel touches, 0 deg forward, 90 deg to the
            left, 180 deg trailing behind.
          </p>
        )}
      </div>
      <CastorsDrawn cart={cart} value={value} />
    </div>
  );
}

interface TextsFieldsProps extends Pick<WeighingPartProps, 'change' | 'told'> {
  readonly field: 'movers' | 'loads' | 'swivels';
  readonly texts: Texts;
  readonly dimensionOf: (name: string) => 'length' | 'angle' | 'mass';
}

const EXAMPLES = { length: '320 mm', angle: '180 deg', mass: '2.5 kg' } as const;

function TextsFields({ field, texts, dimensionOf, change, told }: TextsFieldsProps) {
  return Object.entries(texts).map(([name, text]) => (
    <QuantityField
      key={name}
      label={field === 'swivels' ? `${name}, turned` : name}
      dimension={dimensionOf(name)}
      example={EXAMPLES[dimensionOf(name)]}
      value={text}
      problem={told(text, field, name)}
      onChange={(typed) => change({ [field]: { ...texts, [name]: typed } })}
    />
  ));
}

type DrawnProps = Pick<WeighingPartProps, 'cart' | 'value'>;

function CastorsDrawn({ cart, value }: DrawnProps) {
  const pose = useMemo(() => poseOfDraft(cart, value), [cart, value]);
  // the same drawing while readings are typed
  return <Drawing cart={cart} poseKey={JSON.stringify(pose)} />;
}

const Drawing = memo(function Drawing({
  cart,
  poseKey,
}: {
  readonly cart: Cart;
  readonly poseKey: string;
}) {
  const units = useWorkbench((s) => s.units);
  const pose = useMemo(() => JSON.parse(poseKey) as ReturnType<typeof poseOfDraft>, [poseKey]);
  const posed = useMemo(() => poseCart(cart, pose), [cart, pose]);
  return (
    <figure className="sample-plan">
      <PlanView
        {...{ cart, pose, posed, units }}
        width={520}
        height={430}
        title="Castors from above"
      />
      <figcaption className="kit-soft">
        Loads beside the castors are the model's: what to expect, not what was measured.
      </figcaption>
    </figure>
  );
});
