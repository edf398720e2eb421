/** Whether loads of one machine and crop are fitted together, or apart by variety or by period. */
import { useState } from 'react';
import type { GroupsSheet } from '../../../core/calibration-sheet.ts';
import { groupsEdit } from '../../session/calibration-edits.ts';
import type { StepContext } from '../panel.tsx';
import { PreviewNote } from '../preview-note.tsx';

type By = GroupsSheet['by'] | 'none';

const WORDS: readonly (readonly [By, string])[] = [
  ['none', 'all loads of a machine and crop (default)'],
  ['variety', 'each variety apart'],
  ['period', 'each period apart'],
];

export function GroupChoice({ season, state, session }: StepContext) {
  const { tried } = state;
  const kept = season.settings?.calibration?.groups;
  const held = tried?.kind === 'set_calibration' && tried.change.groups !== undefined ? tried : null;
  const [isAsking, setAsking] = useState(false);
  const by: By = isAsking
    ? 'period'
    : held !== null
      ? (held.change.groups?.by ?? 'none')
      : (kept?.by ?? 'none');
  const splits = kept?.splits_utc ?? [];
  const unnamed = season.fields.filter(({ variety }) => variety === undefined).map(({ name }) => name);
  const attempt = (groups: GroupsSheet | null) => void session.try(groupsEdit(groups));
  const choose = (chosen: By) => {
    setAsking(chosen === 'period' && splits.length === 0);
    if (chosen === (kept?.by ?? 'none')) session.leavePreview();
    else if (chosen === 'none') attempt(null);
    else if (chosen === 'variety') attempt({ by: 'variety' });
    else if (splits.length > 0) attempt({ by: 'period', splits_utc: splits });
  };
  return (
    <section>
      <h3>Loads fitted together</h3>
      <p className="row">
        <label>
          Fit{' '}
          <select
            value={by}
            onChange={({ target }) => choose(WORDS.find(([one]) => one === target.value)?.[0] ?? 'none')}
          >
            {WORDS.map(([one, words]) => (
              <option key={one} value={one}>
                {words}
              </option>
            ))}
          </select>
        </label>
      </p>
      {by === 'variety' && unnamed.length > 0 && (
        <p className="estimate">
          Name the variety of {unnamed.join(', ')} under Logs; until then it goes with all.
        </p>
      )}
      {by === 'period' && (
        <>
          {splits.map((split) => (
            <p key={split} className="row">
              A new period begins {new Date(split).toLocaleString()}
              <button
                type="button"
                className="plain"
                onClick={() => {
                  const left = splits.filter((one) => one !== split);
                  attempt(left.length === 0 ? null : { by: 'period', splits_utc: left });
                }}
              >
                Take away
              </button>
            </p>
          ))}
          <p className="row">
            <label>
              A new period begins on{' '}
              <input
                type="date"
                onChange={({ target }) => {
                  const at = midnightUtc(target.value);
                  if (at === undefined || splits.includes(at)) return;
                  setAsking(false);
                  attempt({ by: 'period', splits_utc: [...splits, at].sort() });
                }}
              />
            </label>
          </p>
        </>
      )}
      <PreviewNote isOf={(edit) => edit.kind === 'set_calibration' && edit.change.groups !== undefined} />
      <p className="estimate">
        A group needs three loads of its own; one with fewer goes by all loads of its machine and crop.
      </p>
    </section>
  );
}

/** `2026-10-10` → that day's first moment where the user is, as UTC; undefined while the date is not whole. */
export function midnightUtc(date: string): string | undefined {
  const at = new Date(`${date}T00:00:00`);
  return Number.isNaN(at.getTime()) ? undefined : at.toISOString().replace('.000Z', 'Z');
}
