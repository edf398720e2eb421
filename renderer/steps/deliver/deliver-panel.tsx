/** Deliver: files for others. */
import { useState } from 'react';
import { useSession, useSessionState } from '../../session/use-session.ts';
import { decimal } from '../../text/quantities.ts';
import { counted } from '../../text/words.ts';
import { Panel, type StepContext } from '../panel.tsx';

const WORDS: Readonly<Record<string, string>> = {
  'points.geojson': 'points of all fields for any GIS: yield and its error, moisture, flow, speed, cut width',
  'summary.json':
    'figures for scripts: totals, lags, calibrations, where the grain went, hashes of the inputs',
  'report.html': 'for reading and printing: totals, maps, loads against the scale',
};

export function DeliverPanel({ summary, season }: StepContext) {
  const session = useSession();
  const { exported, sending, season: open } = useSessionState();
  const [points, setPoints] = useState<'kept' | 'all'>('kept');
  const kept = summary.fields.reduce((sum, field) => sum + field.points.kept, 0);
  const total = summary.fields.reduce((sum, field) => sum + field.points.total, 0);
  return (
    <Panel
      title="Deliver"
      finding={`${counted(summary.fields.length, 'field')} of ${season.name} can be written as GeoJSON points, a summary and a report.`}
      meaning={
        <p>
          Every file names the program’s version, the hashes of the inputs and the settings, so that it can be
          made again from the same folder, byte for byte. Yields are at each field’s standard moisture, in SI
          and in bushels.
        </p>
      }
    >
      <section>
        <fieldset className="choice-list">
          <legend>Points</legend>
          <label className="switch">
            <input
              type="radio"
              name="points"
              checked={points === 'kept'}
              onChange={() => setPoints('kept')}
            />
            Those on the map ({decimal(kept, 0)})
          </label>
          <label className="switch">
            <input type="radio" name="points" checked={points === 'all'} onChange={() => setPoints('all')} />
            All, each with the rule that caught it ({decimal(total, 0)})
          </label>
        </fieldset>
      </section>
      <div className="row">
        <button
          type="button"
          className="main"
          disabled={sending !== null}
          onClick={() => void session.exportPoints(points)}
        >
          Write all fields
        </button>
      </div>
      {exported !== null && open !== null && (
        <section aria-label="Files written">
          <h3>
            Written <span className="quiet">in the season folder</span>
          </h3>
          <ul className="findings">
            {exported.files.map(({ path, bytes }) => {
              const name = path.slice(path.lastIndexOf('/') + 1);
              return (
                <li key={path}>
                  <span />
                  <span>
                    <a href={session.host.fileAddress(open.season, path)} download={name}>
                      {name}
                    </a>{' '}
                    <span className="unit">{decimal(bytes / 1024, 0)} KiB</span>
                    <br />
                    <span className="quiet">{WORDS[name] ?? path}</span>
                  </span>
                </li>
              );
            })}
          </ul>
          <p className="estimate">{open.folder}</p>
        </section>
      )}
    </Panel>
  );
}
