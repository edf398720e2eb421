/** A sum of money that is kept when the entry is left or Enter is pressed; Escape puts back what was there, nothing typed takes it away. */
import { useEffect, useId, useState } from 'react';

interface MoneyEntryProps {
  readonly label: string;
  /** `$/bu` */
  readonly unit: string;
  readonly entered: number | undefined;
  /** Shown greyed where nothing is entered. */
  readonly fallback?: string;
  /** Says nothing for now, and cannot be changed. */
  readonly isResting?: boolean;
  readonly onEnter: (amount: number | null) => void;
}

export function MoneyEntry({ label, unit, entered, fallback, isResting, onEnter }: MoneyEntryProps) {
  const id = useId();
  const held = entered === undefined ? '' : String(entered);
  const [text, setText] = useState(held);
  useEffect(() => setText(held), [held]);
  const keep = () => {
    const typed = text.trim();
    if (typed === held) return;
    if (typed === '') onEnter(null);
    else if (Number.isFinite(Number(typed)) && Number(typed) >= 0) onEnter(Number(typed));
    else setText(held);
  };
  return (
    <>
      <label htmlFor={id}>{label}</label>
      <input
        id={id}
        type="number"
        step="any"
        min={0}
        value={text}
        placeholder={fallback}
        disabled={isResting}
        onChange={({ target }) => setText(target.value)}
        onBlur={keep}
        onKeyDown={({ key }) => {
          if (key === 'Enter') keep();
          if (key === 'Escape') setText(held);
        }}
      />
      <span className="unit">{unit}</span>
    </>
  );
}
