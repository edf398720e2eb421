/** Deliver: files for others. */
import { useState } from 'react';
import type { ExportBody } from '../../../core/host-contract.ts';
import { decimal } from '../../text/quantities.ts';
import { counted } from '../../text/words.ts';
import { Panel, type StepContext } from '../panel.tsx';
import { WrittenFiles } from './written-files.tsx';

/** How fields are parted among files; `one`: only the field on the map. */
type Parting = 'together' | 'each' | 'one';

export function DeliverPanel({ summary, season, field, session, state }: StepContext) {
  const { exported, sending, preview } = state;
  const [points, setPoints] = useState<ExportBody['points']>('kept');
  const [parting, setParting] = useState<Parting>('together');
  const kept = summary.fields.reduce((sum, one) => sum + one.points.kept, 0);
  const total = summary.fields.reduce((sum, one) => sum + one.points.total, 0);
  const fields = counted(summary.fields.length, 'field');
  return (
    <Panel
      title="Deliver"
      finding={`${fields} of ${season.name} can be written as GeoJSON points with their figures, together or each by itself.`}
      meaning={
        <p>
          Every file names the program’s version, the hashes of the inputs and the settings, so that it can be
          made again from the same folder, byte for byte. Yields are at each field’s standard moisture, in SI
          and in bushels.
        </p>
      }
    >
      <section>
        <Choices
          legend="Fields"
          held={parting}
          onChoose={setParting}
          of={[
            ['together', 'All in one file, with a summary and a report'],
            ['each', `A folder for every field (${summary.fields.length})`],
            ['one', `Only ${field.name}`],
          ]}
        />
      </section>
      <section>
        <Choices
          legend="Points"
          held={points}
          onChoose={setPoints}
          of={[
            ['kept', `Those on the map (${decimal(kept, 0)})`],
            ['all', `All, each with the rule that caught it (${decimal(total, 0)})`],
          ]}
        />
      </section>
      <div className="row">
        <button
          type="button"
          className="main"
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
    </Panel>
  );
}

function bodyOf(parting: Parting, points: ExportBody['points'], field: string): ExportBody {
  if (parting === 'together') return { points };
  return { points, files: 'each_field', ...(parting === 'one' ? { field } : {}) };
}

interface ChoicesProps<T extends string> {
  readonly legend: string;
  readonly held: T;
  readonly of: readonly (readonly [T, string])[];
  readonly onChoose: (choice: T) => void;
}

function Choices<T extends string>({ legend, held, of, onChoose }: ChoicesProps<T>) {
  return (
    <fieldset className="choice-list">
      <legend>{legend}</legend>
      {of.map(([choice, words]) => (
        <label key={choice} className="switch">
          <input type="radio" name={legend} checked={held === choice} onChange={() => onChoose(choice)} />
          {words}
        </label>
      ))}
    </fieldset>
  );
}
