/** When, by whom, in which conditions; and photos and notes. */

import { TextField } from '../form/fields.js';
import { PhotoField } from '../form/photos.js';
import type { Problems } from '../form/use-form.js';
import type { ConditionsDraft } from './conditions-draft.js';

interface ConditionsProps {
  readonly value: ConditionsDraft;
  readonly change: (change: Partial<ConditionsDraft>) => void;
  readonly problems: Problems;
}

export function WhenAndWho({ value, change, problems }: ConditionsProps) {
  return (
    <div className="form-fields">
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
        problem={value.operator.trim() === '' ? null : problems.at('operator')}
        onChange={(operator) => change({ operator })}
      />
      <TextField
        label="Temperature"
        value={value.temperature}
        problem={problems.at('temperature')}
        hint="such as 21 degC; may stay empty"
        onChange={(temperature) => change({ temperature })}
      />
    </div>
  );
}

export function PhotosAndNotes({ value, change, problems }: ConditionsProps) {
  return (
    <div className="form-fields">
      <PhotoField
        label="Photos"
        photos={value.photos}
        problem={problems.at('photos')}
        onChange={(photos) => change({ photos })}
      />
      <TextField
        label="Notes"
        value={value.notes}
        problem={problems.at('notes')}
        long
        onChange={(notes) => change({ notes })}
      />
    </div>
  );
}
