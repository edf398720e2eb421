/** A measure typed in any unit, with what was understood beside it. */
import { useId } from 'react';
import { lengthText as ruleText } from '../../core/install/inch-fraction.ts';
import { StateMark } from '../app/figure.tsx';
import { lengthUnit } from '../text/lengths.ts';
import { decimal, type UnitSystem } from '../text/quantities.ts';
import { ENTRY_WORDS } from './entry-words.ts';
import { type EntryKey, meaningOf, speedUnit } from './fitting.ts';

interface MeasureEntryProps {
  readonly entry: EntryKey;
  readonly text: string;
  readonly units: UnitSystem;
  readonly isNeeded?: boolean;
  readonly onType: (text: string) => void;
}

export function MeasureEntry({ entry, text, units, isNeeded = false, onType }: MeasureEntryProps) {
  const id = useId();
  const { label, hint } = ENTRY_WORDS[entry];
  const meaning = meaningOf(entry, text, units);
  const isWrong = Number.isNaN(meaning);
  const isCount = entry === 'paddles' || entry === 'counted';
  const unit = isCount ? '' : entry === 'chainSpeed' ? speedUnit(units) : lengthUnit('small', units);
  return (
    <div className="fit-entry">
      <label htmlFor={id}>{label}</label>
      <input
        id={id}
        type="text"
        inputMode={isCount ? 'numeric' : 'text'}
        autoComplete="off"
        value={text}
        required={isNeeded}
        aria-invalid={isWrong}
        aria-describedby={`${id}hint`}
        onChange={({ target }) => onType(target.value)}
      />
      <span className="unit">{/[a-z"'′″]/i.test(text) ? '' : unit}</span>
      <p id={`${id}hint`} className={isWrong ? 'says' : undefined}>
        {isWrong ? (
          <>
            <StateMark state="mend" /> {wrongWords(entry)}
          </>
        ) : (
          (understood(entry, meaning, units) ?? hint)
        )}
      </p>
    </div>
  );
}

export function wrongWords(entry: EntryKey): string {
  if (entry === 'paddles' || entry === 'counted') return 'That is no count. Write a whole number.';
  if (entry === 'chainSpeed') return 'That is no speed. Write it like 2 m/s, 6.5 ft/s or 400 ft/min.';
  return 'That is no length. Write it like 3 1/2 in, 89 mm or 5 ft 2 in.';
}

/** In both systems, so that a slip of unit is seen at once. */
function understood(entry: EntryKey, meaning: number | undefined, units: UnitSystem): string | undefined {
  if (meaning === undefined || entry === 'paddles' || entry === 'counted') return undefined;
  if (entry === 'chainSpeed') return `= ${decimal(meaning, 2)} m/s`;
  const other: UnitSystem = units === 'us' ? 'metric' : 'us';
  return `= ${ruleText(1000 * meaning, units, 32)}, ${ruleText(1000 * meaning, other, 32)}`;
}
