/** The window's smallest parts: a number with its quieter unit, and the marks of state, which differ in shape. */
import type { Quantity } from '../text/quantities.ts';

export function Figure({ of }: { readonly of: Quantity }) {
  return (
    <span className="number">
      {of.number}
      {of.unit !== '' && <span className="unit"> {of.unit}</span>}
    </span>
  );
}

const MARKS = {
  good: ['●', 'good'],
  look: ['▲', 'look at this'],
  mend: ['■', 'put this right'],
  aside: ['○', 'set aside'],
  none: ['○', 'nothing yet'],
  info: ['○', 'worth knowing'],
} as const;

export function StateMark({ state }: { readonly state: keyof typeof MARKS }) {
  const [mark, words] = MARKS[state];
  return (
    <span className={`state-mark ${state}`} role="img" aria-label={words}>
      {mark}
    </span>
  );
}
