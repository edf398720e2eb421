/** The files that every build has alike, whose names scripts rely on: points, figures, a report, a page for each load. */
import { useState } from 'react';
import type { ExportBody } from '../../../core/host-contract.ts';
import { decimal } from '../../text/quantities.ts';
import type { StepContext } from '../panel.tsx';
import { Choices } from './choices.tsx';
import { WrittenFiles } from './written-files.tsx';

/** How fields are parted among files; `one`: only the field on the map. */
type Parting = 'together' | 'each' | 'one';

export function StandardFiles({ summary, field, session, state }: StepContext) {
  const { exported, sending, preview } = state;
  const [points, setPoints] = useState<ExportBody['points']>('kept');
  const [parting, setParting] = useState<Parting>('together');
  const kept = summary.fields.reduce((sum, one) => sum + one.points.kept, 0);
  const total = summary.fields.reduce((sum, one) => sum + one.points.total, 0);
  return (
    <>
      <p className="hint-line">
        The same files under the same names as the command writes: points as GeoJSON, a summary for scripts,
        and, for all fields together, a report and a page for the loads.
      </p>
      <section className="choices-apart">
        <Choices
          legend="Fields in the season’s own files"
          held={parting}
          onChoose={setParting}
          of={[
            ['together', 'All in one file, with a summary and a report'],
            ['each', `A folder for every field (${summary.fields.length})`],
            ['one', `Only ${field.name}`],
          ]}
        />
        <Choices
          legend="Points in the season’s own files"
          held={points}
          onChoose={setPoints}
          of={[
            ['kept', `Those on the map (${decimal(kept, 0)})`],
            ['all', `All, each with the rule that caught it (${decimal(total, 0)})`],
          ]}
        />
      </section>
      <div className="row spaced">
        <button
          type="button"
          className="framed"
          disabled={sending !== null || preview !== null}
          onClick={() => void session.exportPoints(bodyOf(parting, points, field.name))}
        >
          {parting === 'together'
            ? 'Write all fields'
            : parting === 'each'
              ? 'Write every field'
              : `Write ${field.name}`}
        </button>
        {preview !== null && <span className="quiet">Keep or leave what you are trying first.</span>}
      </div>
      {exported !== null && <WrittenFiles exported={exported} session={session} state={state} />}
    </>
  );
}

function bodyOf(parting: Parting, points: ExportBody['points'], field: string): ExportBody {
  if (parting === 'together') return { points };
  return { points, files: 'each_field', ...(parting === 'one' ? { field } : {}) };
}
