/** The four measures of a paddle, entered together: half of them would be no paddle. */
import { type FormEvent, useId, useState } from 'react';
import type { MachineSheet, PaddleSheet } from '../../../core/season.ts';
import { useSession } from '../../session/use-session.ts';

export const PADDLE_KEYS = ['pitch_mm', 'width_mm', 'depth_mm', 'thickness_mm'] as const;
export type PaddleKey = (typeof PADDLE_KEYS)[number];

export const PADDLE_WORDS: Readonly<Record<PaddleKey, string>> = {
  pitch_mm: 'From one paddle to the next',
  width_mm: 'Width of a paddle',
  depth_mm: 'Depth of a paddle',
  thickness_mm: 'Thickness of a paddle',
};

export function PaddleForm({ machine }: { readonly machine: MachineSheet }) {
  const session = useSession();
  const id = useId();
  const [texts, setTexts] = useState<Readonly<Record<PaddleKey, string>>>({
    pitch_mm: '',
    width_mm: '',
    depth_mm: '',
    thickness_mm: '',
  });
  const keep = (event: FormEvent) => {
    event.preventDefault();
    const paddle: PaddleSheet = {
      pitch_mm: Number(texts.pitch_mm),
      width_mm: Number(texts.width_mm),
      depth_mm: Number(texts.depth_mm),
      thickness_mm: Number(texts.thickness_mm),
    };
    void session.edit({ kind: 'change_machine', id: machine.id, change: { paddle } });
  };
  return (
    <form className="form-grid" onSubmit={keep} aria-label={`Paddle of ${machine.name}`}>
      {PADDLE_KEYS.flatMap((key) => [
        <label key={`${key} label`} htmlFor={`${id}${key}`}>
          {PADDLE_WORDS[key]}, mm
        </label>,
        <input
          key={key}
          id={`${id}${key}`}
          type="number"
          step="any"
          required
          value={texts[key]}
          onChange={({ target }) => setTexts({ ...texts, [key]: target.value })}
        />,
      ])}
      <div className="foot">
        <button type="submit" className="main">
          Keep the paddle
        </button>
        <span className="quiet">Measure with a rule: engine off, key out, everything stopped.</span>
      </div>
    </form>
  );
}
