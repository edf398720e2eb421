/** What a newcomer sees first: two buttons; and whoever comes back, their seasons. */
import { type FormEvent, useState } from 'react';
import type { SeasonCard } from '../../core/host-contract.ts';
import { useSession, useSessionState } from '../session/use-session.ts';
import { counted, LEGAL_LINE } from '../text/words.ts';
import { StateMark } from './figure.tsx';
import { ThemeButton } from './head.tsx';
import { ProgramMark } from './icons.tsx';
import { Trouble } from './trouble.tsx';

export function Home() {
  const session = useSession();
  const { home, phase } = useSessionState();
  const [isNaming, setNaming] = useState(false);
  const seasons = [...(home?.seasons ?? []), ...(home?.elsewhere ?? [])];
  return (
    <div className="home">
      <div>
        <header className="head">
          <span className="mark">
            <ProgramMark />
            Sheaflight
          </span>
          <span className="spring" />
          <ThemeButton />
        </header>
        <Trouble />
      </div>
      <main aria-busy={phase === 'starting'}>
        <h1>From a light beam and your scale tickets to a map that stands up</h1>
        <p className="lead">
          Open the invented sample season to look around. With files of your own, start a new season, then
          drop logs, tickets and boundaries anywhere on this window. Nothing leaves this computer.
        </p>
        <div className="choices">
          <button type="button" className="main" onClick={() => void session.openSample()}>
            Open the sample season
          </button>
          <button
            type="button"
            className="framed"
            aria-expanded={isNaming}
            onClick={() => setNaming(!isNaming)}
          >
            New season
          </button>
          <button type="button" className="framed" onClick={() => session.look({ isFitting: true })}>
            Before the first acre
          </button>
        </div>
        {isNaming && <NewSeason />}
        <p className="folder-line">
          Sensor not fitted or not tried out yet? “Before the first acre” says where to mark and drill, and
          judges its first log; no season is needed.
        </p>
        {seasons.length > 0 && <SeasonList seasons={seasons} />}
        <OpenFolder />
        {home !== null && <p className="folder-line">Seasons are plain folders in {home.folder}</p>}
      </main>
      <footer className="status">
        <span className="spring" />
        <span>{LEGAL_LINE}</span>
      </footer>
    </div>
  );
}

function NewSeason() {
  const session = useSession();
  const [name, setName] = useState('');
  const [units, setUnits] = useState<'us' | 'metric'>('us');
  const create = (event: FormEvent) => {
    event.preventDefault();
    if (name.trim() !== '') void session.createSeason({ name: name.trim(), units });
  };
  return (
    <form onSubmit={create}>
      <label>
        <span className="quiet">Name </span>
        <input
          // biome-ignore lint/a11y/noAutofocus: the user has just asked for this entry
          autoFocus
          type="text"
          value={name}
          onChange={({ target }) => setName(target.value)}
          placeholder="Home farm 2026"
          required
        />
      </label>
      <label>
        <span className="quiet">Units </span>
        <select value={units} onChange={({ target }) => setUnits(target.value === 'us' ? 'us' : 'metric')}>
          <option value="us">US: bushels, acres, feet</option>
          <option value="metric">SI: tonnes, hectares, metres</option>
        </select>
      </label>
      <button type="submit" className="main">
        Create
      </button>
    </form>
  );
}

function SeasonList({ seasons }: { readonly seasons: readonly SeasonCard[] }) {
  const session = useSession();
  return (
    <section className="seasons">
      <h2>Your seasons</h2>
      <ul>
        {seasons.map((card) => (
          <li key={card.season}>
            <button type="button" className="row" onClick={() => void session.openFolder(card.folder)}>
              <b>{card.name}</b>
              <span className="quiet">{card.problem === null ? fieldsOf(card) : card.problem.text}</span>
              <span className="quiet">
                {card.problem === null ? counted(card.log_files, 'log file') : <StateMark state="mend" />}
              </span>
            </button>
            {card.problem?.can_restore === true && (
              <button
                type="button"
                className="framed"
                onClick={() => void session.restoreSeason(card.folder)}
              >
                Bring back the sheet before the last change
              </button>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

function fieldsOf({ fields }: SeasonCard): string {
  if (fields.length === 0) return 'no fields yet';
  const shown = fields.slice(0, 4).map(({ name, crop }) => `${name} (${crop})`);
  return `${shown.join(', ')}${fields.length > 4 ? ` and ${fields.length - 4} more` : ''}`;
}

function OpenFolder() {
  const session = useSession();
  const [folder, setFolder] = useState('');
  const open = (event: FormEvent) => {
    event.preventDefault();
    if (folder.trim() !== '') void session.openFolder(folder.trim());
  };
  return (
    <details className="folder-line">
      <summary>Open a season folder from elsewhere</summary>
      <form onSubmit={open}>
        <label>
          Whole path of the folder{' '}
          <input type="text" size={48} value={folder} onChange={({ target }) => setFolder(target.value)} />
        </label>
        <button type="submit" className="framed">
          Open
        </button>
      </form>
    </details>
  );
}
