/** Last season's gain, taken along as one load more: known as such, and worth as much as its own error says. */
import { type FormEvent, useId, useState } from 'react';
import { type Carried, priorEdit, priorOf } from '../../session/calibration-edits.ts';
import { decimal } from '../../text/quantities.ts';
import { PreviewNote } from '../preview-note.tsx';
import type { FitContext } from './fit-section.tsx';

/** How far gains move from one season to the next, %: common practice, no source. */
const USUAL_SE_PCT = 3;

export function CarriedGain({ fit, season, session }: FitContext) {
  const id = useId();
  const place = { machine: fit.machine, crop: fit.crop };
  const held = priorOf(season, place);
  const inForce = fit.diagnostics?.prior ?? null;
  const [factor, setFactor] = useState(held === undefined ? '' : String(held.factor));
  const [se, setSe] = useState(String(held?.se_pct ?? USUAL_SE_PCT));
  const [from, setFrom] = useState(held?.from ?? 'last season');
  const carried: Carried = { factor: Number(factor), se_pct: Number(se), from: from.trim() };
  const isWhole = carried.factor > 0 && carried.se_pct > 0 && carried.from !== '';
  const give = (event: FormEvent) => {
    event.preventDefault();
    if (isWhole) void session.try(priorEdit(season, place, carried));
  };
  return (
    <details>
      <summary>Gain of last season{held !== undefined && ' (taken along)'}</summary>
      {inForce !== null && (
        <p className="estimate">
          {decimal(inForce.factor, 4)} ± {decimal(inForce.se_pct, 1)} % ({inForce.from}) counts as one load
          more.
        </p>
      )}
      <form className="form-grid entries" onSubmit={give}>
        <label htmlFor={`${id}factor`}>Gain, scale over beam</label>
        <input
          id={`${id}factor`}
          type="number"
          step="any"
          min={0.1}
          max={10}
          value={factor}
          onChange={({ target }) => setFactor(target.value)}
        />
        <label htmlFor={`${id}se`}>Known to ±, % (one standard error)</label>
        <input
          id={`${id}se`}
          type="number"
          step="any"
          min={0.1}
          max={50}
          value={se}
          onChange={({ target }) => setSe(target.value)}
        />
        <label htmlFor={`${id}from`}>From where</label>
        <input id={`${id}from`} type="text" value={from} onChange={({ target }) => setFrom(target.value)} />
        <div className="foot">
          <button type="submit" className="framed" disabled={!isWhole}>
            Try it
          </button>
          {held !== undefined && (
            <button
              type="button"
              className="plain"
              onClick={() => void session.edit(priorEdit(season, place, null))}
            >
              Do without it
            </button>
          )}
        </div>
      </form>
      <PreviewNote
        isOf={(edit) =>
          edit.kind === 'set_calibration' &&
          (edit.change.prior ?? []).some((one) => one.machine === fit.machine && one.crop === fit.crop)
        }
      />
    </details>
  );
}
