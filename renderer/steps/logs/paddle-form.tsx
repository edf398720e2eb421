/** The four measures of a paddle, entered together: half of them would be no paddle. */
import { type FormEvent, useState } from 'react';
import type { MachineSheet, PaddleSheet } from '../../../core/season.ts';
import { unitsOf } from '../../session/session-state.ts';
import { useSession, useSessionState } from '../../session/use-session.ts';
import { LengthEntry } from './length-entry.tsx';
import { PADDLE_MEASURES } from './machine-measures.ts';

export function PaddleForm({ machine }: { readonly machine: MachineSheet }) {
  const session = useSession();
  const units = unitsOf(useSessionState());
  const [lengths_m, setLengths] = useState<Readonly<Record<string, number>>>({});
  const isWhole = PADDLE_MEASURES.every(({ key }) => lengths_m[key] > 0);
  const keep = (event: FormEvent) => {
    event.preventDefault();
    if (!isWhole) return;
    const entries = PADDLE_MEASURES.map(({ key, patch }) =>
      Object.entries(patch(lengths_m[key], machine).paddle ?? {}),
    );
    const paddle = Object.fromEntries(entries.flat()) as unknown as PaddleSheet;
    void session.edit({ kind: 'change_machine', id: machine.id, change: { paddle } });
  };
  return (
    <form className="lengths first" onSubmit={keep} aria-label={`Paddle of ${machine.name}`}>
      {PADDLE_MEASURES.map((measure) => (
        <LengthEntry
          key={measure.key}
          measure={measure}
          units={units}
          held_m={undefined}
          onDraft={(length_m) => setLengths((others) => ({ ...others, [measure.key]: length_m }))}
        />
      ))}
      <div className="foot">
        <button type="submit" className="main" disabled={!isWhole}>
          Keep the paddle
        </button>
        <span className="quiet">Measure with a rule: engine off, key out, everything stopped.</span>
      </div>
    </form>
  );
}
