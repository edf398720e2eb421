/** A length measured on a machine: typed in any unit, with how to measure it, and a word where it is hardly possible. */
import { useEffect, useId, useState } from 'react';
import { StateMark } from '../../app/figure.tsx';
import { type LengthUnit, lengthText, lengthUnit, metresFromText } from '../../text/lengths.ts';
import type { UnitSystem } from '../../text/quantities.ts';
import type { MachineMeasure } from './machine-measures.ts';

interface LengthEntryProps {
  readonly measure: MachineMeasure;
  readonly units: UnitSystem;
  /** What stands in the sheet, m. */
  readonly held_m: number | undefined;
  /** Whether an import has only assumed it. */
  readonly isAssumed?: boolean;
  /** When the entry is left or Enter is pressed; `null` when it was emptied. */
  readonly onEnter?: (length_m: number | null) => void;
  /** Every change on the way; NaN for what is no length. */
  readonly onDraft?: (length_m: number) => void;
}

export function LengthEntry({ measure, units, held_m, isAssumed, onEnter, onDraft }: LengthEntryProps) {
  const id = useId();
  const unit = lengthUnit(measure.size, units);
  const held = lengthText(held_m ?? Number.NaN, unit);
  const [text, setText] = useState(held);
  useEffect(() => setText(held), [held]);
  const typed_m = metresFromText(text, unit);
  const doubt = doubtOf(text, typed_m, unit, measure);
  const isGuess = isAssumed === true && held_m !== undefined;
  const keep = () => {
    if (text.trim() === '') {
      if (held_m !== undefined) onEnter?.(null);
      if (measure.isOptional !== true) setText(held);
    } else if (Number.isNaN(typed_m)) setText(held);
    else if (lengthText(typed_m, unit) !== held) onEnter?.(typed_m);
    else setText(held);
  };
  return (
    <div className="length">
      <label htmlFor={id}>{measure.label}</label>
      <input
        id={id}
        type="text"
        value={text}
        required={measure.isOptional !== true}
        autoComplete="off"
        aria-describedby={`${id}hint`}
        onChange={({ target }) => {
          setText(target.value);
          onDraft?.(metresFromText(target.value, unit));
        }}
        onBlur={onEnter && keep}
        onKeyDown={({ key }) => {
          if (key === 'Enter' && onEnter) keep();
          if (key === 'Escape') setText(held);
        }}
      />
      <span className="unit">{unit}</span>
      <p id={`${id}hint`} className={doubt !== null || isGuess ? 'hint-line says' : 'hint-line'}>
        {doubt ?? (
          <>
            {measure.hint} Usual: {rangeText(measure, unit)}.
          </>
        )}
        {isGuess && (
          <>
            {' '}
            <StateMark state="look" /> Assumed by the import.{' '}
            <button type="button" className="plain" onClick={() => onEnter?.(held_m)}>
              It is right
            </button>
          </>
        )}
      </p>
    </div>
  );
}

function doubtOf(
  text: string,
  length_m: number,
  unit: LengthUnit,
  { likely_m: [low, high], ...measure }: MachineMeasure,
) {
  if (text.trim() === '') return null;
  if (Number.isNaN(length_m))
    return (
      <>
        <StateMark state="mend" /> That is no length. Write it like 8 in, 203 mm, 3 ft 4 in or 2 1/2 in.
      </>
    );
  if (length_m >= low && length_m <= high) return null;
  const range = rangeText({ likely_m: [low, high], ...measure }, unit);
  return (
    <>
      <StateMark state="look" /> {lengthText(length_m, unit)} {unit} is unusual: {range} is common. Is the
      unit right?
    </>
  );
}

function rangeText({ likely_m: [low, high] }: Pick<MachineMeasure, 'likely_m'>, unit: LengthUnit): string {
  const shown = (length_m: number) => {
    const number = Number(lengthText(length_m, unit));
    return String(unit === 'mm' ? Math.round(number) : Number(number.toPrecision(2))).replace('-', '−');
  };
  return `${shown(low)} to ${shown(high)} ${unit}`;
}
