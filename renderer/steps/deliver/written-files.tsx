/** What was written, where it is, and each file as a link. */
import type { ExportReply } from '../../../core/host-contract.ts';
import { decimal } from '../../text/quantities.ts';
import { counted } from '../../text/words.ts';
import type { StepContext } from '../panel.tsx';

const WORDS: Readonly<Record<string, string>> = {
  'points.geojson': 'points of all fields for any GIS: yield and its error, moisture, flow, speed, cut width',
  'summary.json':
    'figures for scripts: totals, lags, calibrations, where the grain went, hashes of the inputs',
  'report.html': 'for reading and printing: totals, maps, loads against the scale',
  'loads.html': 'to print and keep with the tickets: a page for each machine and crop',
};

interface WrittenFilesProps extends Pick<StepContext, 'session' | 'state'> {
  readonly exported: ExportReply;
}

export function WrittenFiles({ exported, session, state: { season } }: WrittenFilesProps) {
  if (season === null) return null;
  const size = exported.files.reduce((sum, { bytes }) => sum + bytes, 0);
  return (
    <section aria-label="Files written">
      <h3>
        Written{' '}
        <span className="quiet">
          {counted(exported.files.length, 'file')}, {decimal(size / 1024, 0)} KiB
        </span>
      </h3>
      <ul className="findings">
        {exported.files.map(({ path, bytes }) => {
          const name = path.slice(path.lastIndexOf('/') + 1);
          return (
            <li key={path}>
              <span />
              <span>
                <a href={session.host.fileAddress(season.season, path)} download={name}>
                  {name}
                </a>{' '}
                <span className="unit">{decimal(bytes / 1024, 0)} KiB</span>
                {WORDS[name] !== undefined && (
                  <>
                    <br />
                    <span className="quiet">{WORDS[name]}</span>
                  </>
                )}
              </span>
            </li>
          );
        })}
      </ul>
      <p className="estimate">In the season folder: {season.folder}</p>
    </section>
  );
}
