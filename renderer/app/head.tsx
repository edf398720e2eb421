/** The head: which season and field, undo and redo with the history, units, light or dark. */

import { fieldIndexOf, unitsOf } from '../session/session-state.ts';
import { useSession, useSessionState } from '../session/use-session.ts';
import { capitalised } from '../text/words.ts';
import { HangingSheet } from './hanging-sheet.tsx';
import { Icon, ProgramMark } from './icons.tsx';

export function Head() {
  const session = useSession();
  const state = useSessionState();
  const { season, built, view } = state;
  if (season === null) return null;
  const units = unitsOf(state);
  const fields =
    built?.reply.points ?? season.document.fields.map(({ name, crop }) => ({ field: name, crop }));
  const shown = fields[Math.max(fieldIndexOf(state), 0)]?.field ?? '';
  return (
    <header className="head">
      <button type="button" className="mark" onClick={() => void session.goHome()} title="All seasons">
        <ProgramMark />
        <span className="unseen">All seasons</span>
        {season.document.name}
      </button>
      {fields.length > 0 && (
        <label>
          <span className="quiet">Field</span>
          <select
            value={shown}
            onChange={({ target }) => session.look({ field: target.value, isOverview: false })}
          >
            {fields.map(({ field, crop }) => (
              <option key={field} value={field}>
                {field}, {crop}
              </option>
            ))}
          </select>
        </label>
      )}
      <button
        type="button"
        className="icon"
        aria-pressed={view.isOverview}
        onClick={() => session.look({ isOverview: !view.isOverview })}
        title="All fields as a table (O)"
      >
        <Icon name="fields" />
        All fields
      </button>
      <span className="spring" />
      <HistoryControls />
      <fieldset className="units" aria-label="Units">
        {(['us', 'metric'] as const).map((choice) => (
          <button
            type="button"
            key={choice}
            aria-pressed={units === choice}
            onClick={() => units !== choice && void session.setUnits(choice)}
          >
            {choice === 'us' ? 'US' : 'SI'}
          </button>
        ))}
      </fieldset>
      <ThemeButton />
    </header>
  );
}

export function ThemeButton() {
  const session = useSession();
  const { theme } = useSessionState().view;
  const other = theme === 'light' ? 'dark' : 'light';
  return (
    <button
      type="button"
      className="icon"
      onClick={() => session.look({ theme: other })}
      aria-label={`${capitalised(other)} window`}
      title={`${capitalised(other)} window`}
    >
      <Icon name={other} />
    </button>
  );
}

function HistoryControls() {
  const session = useSession();
  const { season } = useSessionState();
  if (season === null) return null;
  const { entries, at } = season.history;
  const undone = entries[at + 1]?.name;
  const undoes = at > 0 ? entries[at].name : undefined;
  return (
    <>
      <button
        type="button"
        className="icon"
        disabled={undoes === undefined}
        onClick={() => void session.undo()}
        aria-label={undoes === undefined ? 'Undo' : `Undo: ${undoes}`}
        title={undoes === undefined ? 'Nothing to undo' : `Undo: ${undoes} (Ctrl+Z)`}
      >
        <Icon name="undo" />
      </button>
      <button
        type="button"
        className="icon"
        disabled={undone === undefined}
        onClick={() => void session.redo()}
        aria-label={undone === undefined ? 'Redo' : `Redo: ${undone}`}
        title={undone === undefined ? 'Nothing to redo' : `Redo: ${undone} (Ctrl+Shift+Z)`}
      >
        <Icon name="redo" />
      </button>
      <HangingSheet
        label="History"
        button={
          <>
            <Icon name="history" />
            History
          </>
        }
      >
        <ol>
          {entries.map((entry, i) => (
            <li key={`${entry.utc} ${entry.name}`}>
              <button
                type="button"
                className={i > at ? 'undone' : ''}
                aria-current={i === at ? 'true' : undefined}
                onClick={() => void session.goTo(i)}
              >
                <span>{entry.name}</span>
                <span className="quiet">{timeOfDay(entry.utc)}</span>
              </button>
            </li>
          ))}
        </ol>
      </HangingSheet>
    </>
  );
}

function timeOfDay(utc: string): string {
  return new Date(utc).toLocaleTimeString(undefined, { hour: '2-digit', minute: '2-digit' });
}
