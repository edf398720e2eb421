/** The stage line: the data's own way from left to right, one figure and one state a stage. */
import { STAGES, unitsOf } from '../session/session-state.ts';
import { stageTiles, tilesBefore } from '../session/stage-tiles.ts';
import { useSession, useSessionState } from '../session/use-session.ts';
import { Figure, StateMark } from './figure.tsx';

export function StageLine() {
  const session = useSession();
  const state = useSessionState();
  const { season, built, view } = state;
  if (season === null) return null;
  const tiles =
    built === null
      ? tilesBefore(season.document)
      : stageTiles(season.document, built.reply.summary, unitsOf(state));
  return (
    <nav aria-label="Stages">
      <ol className="stage-line">
        {tiles.map(({ stage, name, figure, below, state: judged }, i) => (
          <li key={stage}>
            <button
              type="button"
              aria-current={view.stage === stage ? 'true' : undefined}
              onClick={() => session.look({ stage, isOverview: false })}
              title={`${name} (${(i + 1) % 10})`}
              data-stage={stage}
            >
              <span className="name">
                {name} <StateMark state={judged} />
              </span>
              <span className="figure">
                <Figure of={figure} />
              </span>
              <span className="below">{below}</span>
            </button>
          </li>
        ))}
      </ol>
    </nav>
  );
}

/** The stage that the digit key opens; 0 the tenth. */
export function stageOfKey(key: string): (typeof STAGES)[number] | undefined {
  return /^[0-9]$/.test(key) ? STAGES[(Number(key) + 9) % 10] : undefined;
}
