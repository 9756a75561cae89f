/** The unit of bare numbers in a table. */

import { ChoiceField } from './fields.js';

interface UnitChoiceProps<U extends string> {
  readonly label: string;
  readonly value: U;
  readonly among: readonly U[];
  readonly onChange: (unit: U) => void;
}

export function UnitChoice<U extends string>({
  label,
  value,
  among,
  onChange,
}: UnitChoiceProps<U>) {
  return (
    <div className="unit-choice">
      <ChoiceField
        label={label}
        value={value}
        among={among.map((unit) => ({ value: unit, words: unit }))}
        hint="where no unit is typed"
        onChange={onChange}
      />
    </div>
  );
}
