/** Before the first acre: a place of its own, with or without a season, for a small laptop in a shed. */
import './first-acre.css';
import { StateMark } from '../app/figure.tsx';
import { ThemeButton } from '../app/head.tsx';
import { ProgramMark } from '../app/icons.tsx';
import { Trouble } from '../app/trouble.tsx';
import type { UnitSystem } from '../text/quantities.ts';
import { LEGAL_LINE } from '../text/words.ts';
import { CheckPart } from './check-part.tsx';
import { FIRST_FITTING, type Fitting, fittingOf, withUnitsWritten } from './fitting.ts';
import { PlacementPart } from './placement-part.tsx';
import { type FirstAcreContext, useFirstAcre } from './use-first-acre.ts';

const PARTS: readonly (readonly [Fitting['part'], string])[] = [
  ['placement', 'Placement worksheet'],
  ['check', 'Beam check'],
];

export function FirstAcre() {
  const context = useFirstAcre();
  const { fitting, change } = context;
  return (
    <div className="first-acre">
      <div>
        <FirstAcreHead context={context} />
        <Trouble />
      </div>
      <main>
        <h1>Before the first acre</h1>
        <p className="fit-safe">
          <StateMark state="mend" /> <b>Engine off, key out, everything stopped, header blocked</b>, and a
          second person warned before anything is turned by hand. The machine maker’s instructions and local
          rules come first.
        </p>
        <nav className="fit-parts" aria-label="Parts">
          {PARTS.map(([part, words]) => (
            <button
              type="button"
              key={part}
              aria-current={fitting.part === part ? 'page' : undefined}
              onClick={() => change({ part })}
            >
              {words}
            </button>
          ))}
        </nav>
        {fitting.part === 'placement' ? <PlacementPart context={context} /> : <CheckPart context={context} />}
      </main>
      <footer className="status">
        <span className="spring" />
        <span>{LEGAL_LINE}</span>
      </footer>
    </div>
  );
}

function FirstAcreHead({ context }: { readonly context: FirstAcreContext }) {
  const { session, season, units, fitting, change } = context;
  const setUnits = (chosen: UnitSystem) => {
    change({ entries: withUnitsWritten(fitting.entries, units) });
    if (season === null) session.look({ units: chosen });
    else void session.setUnits(chosen);
  };
  const machines = season?.document.machines ?? [];
  return (
    <header className="head">
      <button type="button" className="mark" onClick={() => session.look({ isFitting: false })}>
        <ProgramMark />
        Back to {season === null ? 'the seasons' : season.document.name}
      </button>
      {machines.length > 0 && (
        <label>
          <span className="quiet">Machine</span>
          <select
            value={fitting.machine ?? ''}
            onChange={({ target }) => {
              const found = machines.find(({ id }) => id === target.value);
              const { part } = fitting;
              change({ ...(found === undefined ? FIRST_FITTING : fittingOf(found, units)), part });
            }}
          >
            <option value="">none of the season</option>
            {machines.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </label>
      )}
      <span className="spring" />
      <fieldset className="units" aria-label="Units">
        {(['us', 'metric'] as const).map((choice) => (
          <button
            type="button"
            key={choice}
            aria-pressed={units === choice}
            onClick={() => units !== choice && setUnits(choice)}
          >
            {choice === 'us' ? 'US' : 'SI'}
          </button>
        ))}
      </fieldset>
      <ThemeButton />
    </header>
  );
}
