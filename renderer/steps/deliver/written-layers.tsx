/** Layers that were written: each file as a link with its size, and what was noticed on the way. */
import type { LayerExportReply } from '../../../core/export/layers/layer-choice.ts';
import { StateMark } from '../../app/figure.tsx';
import { decimal } from '../../text/quantities.ts';
import { counted } from '../../text/words.ts';
import type { StepContext } from '../panel.tsx';
import { sizeOf } from './export-words.ts';

interface WrittenLayersProps extends Pick<StepContext, 'session' | 'state'> {
  readonly written: LayerExportReply;
}

const FOLDER = 'out/export/';

export function WrittenLayers({ written, session, state: { season } }: WrittenLayersProps) {
  if (season === null) return null;
  const { files, features, notices } = written;
  const bytes = files.reduce((sum, file) => sum + file.bytes, 0);
  return (
    <section aria-label="Layers written" role="status">
      <h3>
        Written{' '}
        <span className="quiet">
          {counted(files.length, 'file')}, <Size bytes={bytes} />, {decimal(features, 0)} features
        </span>
      </h3>
      {notices.map(({ text, severity }) => (
        <p key={text}>
          <StateMark state={severity} /> {text}
        </p>
      ))}
      <ul className="written-files">
        {files.map((file) => (
          <li key={file.path}>
            <a
              href={session.host.fileAddress(season.season, file.path)}
              download={file.path.slice(file.path.lastIndexOf('/') + 1)}
            >
              {file.path.startsWith(FOLDER) ? file.path.slice(FOLDER.length) : file.path}
            </a>
            <Size bytes={file.bytes} />
          </li>
        ))}
      </ul>
      <p className="estimate">
        In {season.folder}/{FOLDER}
      </p>
    </section>
  );
}

function Size({ bytes }: { readonly bytes: number }) {
  const { number, digits, unit } = sizeOf(bytes);
  return (
    <span className="number">
      {decimal(number, digits)} <span className="unit">{unit}</span>
    </span>
  );
}
