/** What every evidence panel is made of, and what it is given. */
import { type ReactNode, useEffect, useId, useRef, useState } from 'react';
import type { ResultReply } from '../../core/host-contract.ts';
import type { FieldPoints, FieldSummary, Summary } from '../../core/result.ts';
import type { Season } from '../../core/season.ts';
import { Figure } from '../app/figure.tsx';
import { bushelOf } from '../session/season-figures.ts';
import type { Session } from '../session/session.ts';
import { fieldIndexOf, type SessionState, unitsOf } from '../session/session-state.ts';
import { useSession, useSessionState } from '../session/use-session.ts';
import type { Quantity, UnitSystem } from '../text/quantities.ts';

export interface StepContext {
  readonly session: Session;
  readonly state: SessionState;
  readonly season: Season;
  readonly reply: ResultReply;
  readonly summary: Summary;
  readonly field: FieldSummary;
  /** Undefined until the columns have come. */
  readonly points: FieldPoints | undefined;
  readonly units: UnitSystem;
  readonly bushel_kg: number;
}

/** Null until there is a result. */
export function useStepContext(): StepContext | null {
  const session = useSession();
  const state = useSessionState();
  const { season, built } = state;
  const index = fieldIndexOf(state);
  const name = built?.reply.points[index]?.field;
  const field = built?.reply.summary.fields.find((one) => one.name === name);
  if (season === null || built === null || field === undefined) return null;
  return {
    session,
    state,
    season: season.document,
    reply: built.reply,
    summary: built.reply.summary,
    field,
    points: built.points.get(index),
    units: unitsOf(state),
    bushel_kg: bushelOf(season.document, field.crop),
  };
}

interface PanelProps {
  readonly title: string;
  /** What was found and how sure it is, in a sentence. */
  readonly finding: ReactNode;
  /** What it means and what would make it better. */
  readonly meaning?: ReactNode;
  readonly children?: ReactNode;
}

export function Panel({ title, finding, meaning, children }: PanelProps) {
  return (
    <div className="panel">
      <header>
        <h2>{title}</h2>
        <p>{finding}</p>
      </header>
      {children}
      {meaning !== undefined && (
        <section className="meaning">
          <h3>What it means</h3>
          {meaning}
        </section>
      )}
    </div>
  );
}

/** A figure a line, numbers right-aligned. */
export function Pairs({ of }: { readonly of: readonly (readonly [string, Quantity | string])[] }) {
  return (
    <dl className="pairs">
      {of.map(([words, quantity]) => (
        <div key={words}>
          <dt>{words}</dt>
          <dd>{typeof quantity === 'string' ? quantity : <Figure of={quantity} />}</dd>
        </div>
      ))}
    </dl>
  );
}

interface SwitchProps {
  readonly label: ReactNode;
  readonly isOn: boolean;
  readonly onChange: (isOn: boolean) => void;
}

export function Switch({ label, isOn, onChange }: SwitchProps) {
  return (
    <label className="switch">
      <input type="checkbox" checked={isOn} onChange={({ target }) => onChange(target.checked)} />
      {label}
    </label>
  );
}

interface NumberEntryProps {
  readonly label: string;
  readonly unit: string;
  /** What stands in the sheet; undefined: the default holds. */
  readonly entered: number | undefined;
  /** Shown while nothing is entered. */
  readonly fallback: number | null;
  readonly step?: number;
  /** `null`: the default again. */
  readonly onEnter: (number: number | null) => void;
  /** Every number on the way, to be tried; then only Enter keeps it, and leaving the entry does not. `null`: tried no more. */
  readonly onDraft?: (number: number | null) => void;
}

/** A number that is kept when the entry is left or Enter is pressed; Escape puts back what was there. */
export function NumberEntry({ label, unit, entered, fallback, step, onEnter, onDraft }: NumberEntryProps) {
  const id = useId();
  const shown = entered ?? fallback;
  const [text, setText] = useState(textOf(shown));
  const input = useRef<HTMLInputElement>(null);
  const isDrafted = useRef(false);
  useEffect(() => {
    // What is tried comes back as the number shown; who is still typing goes on.
    if (onDraft === undefined || document.activeElement !== input.current) setText(textOf(shown));
  }, [shown, onDraft]);
  const number = text.trim() === '' ? null : Number(text);
  const keep = () => {
    if (number === null || !Number.isFinite(number)) setText(textOf(shown));
    else if (onDraft === undefined ? textOf(number) !== textOf(shown) : isDrafted.current) onEnter(number);
    isDrafted.current = false;
  };
  return (
    <span className="entry">
      <label htmlFor={id}>{label}</label>
      <input
        id={id}
        ref={input}
        type="number"
        step={step ?? 'any'}
        value={text}
        onChange={({ target }) => {
          setText(target.value);
          isDrafted.current = true;
          const typed = Number(target.value);
          if (target.value.trim() !== '' && Number.isFinite(typed)) onDraft?.(typed);
        }}
        onBlur={onDraft === undefined ? keep : undefined}
        onKeyDown={({ key }) => {
          if (key === 'Enter') keep();
          if (key !== 'Escape') return;
          setText(textOf(shown));
          isDrafted.current = false;
          onDraft?.(null);
        }}
      />
      {unit !== '' && <span className="unit">{unit}</span>}
      {entered !== undefined && (
        <button type="button" className="plain" onClick={() => onEnter(null)}>
          Reset
        </button>
      )}
    </span>
  );
}

function textOf(number: number | null | undefined): string {
  if (number === null || number === undefined || !Number.isFinite(number)) return '';
  return String(Number(number.toPrecision(4)));
}
