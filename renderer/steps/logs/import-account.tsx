/** What came of an import, a line a file; where a file's columns are not clear, the guess to confirm. */
import type { ImportedFile, ImportReport } from '../../../core/host-contract.ts';
import { StateMark } from '../../app/figure.tsx';
import { decimal } from '../../text/quantities.ts';
import { counted, DAMAGE_WORDS } from '../../text/words.ts';

const OUTCOMES = {
  imported: ['good', 'taken in'],
  already_there: ['info', 'already there'],
  needs_mapping: ['look', 'say what its columns are'],
  refused: ['mend', 'not taken'],
} as const;

export function ImportAccount({
  report,
  onClose,
}: {
  readonly report: ImportReport;
  readonly onClose: () => void;
}) {
  return (
    <section aria-label="What came of the import">
      <h3>
        Just imported
        <button type="button" className="plain" onClick={onClose}>
          Fold up
        </button>
      </h3>
      <ul className="findings">
        {report.files.map((file) => (
          <li key={`${file.source_name} ${file.sha256}`}>
            <StateMark state={OUTCOMES[file.outcome][0]} />
            <div>
              <b>{file.source_name}</b>: {OUTCOMES[file.outcome][1]}. {file.text ?? file.reason}
              <p className="quiet">{factsOf(file)}</p>
              {file.mapping !== null && <Sample file={file} />}
            </div>
          </li>
        ))}
        {report.notices.map((notice) => (
          <li key={notice.text}>
            <StateMark state={notice.severity} />
            <span>{notice.text}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}

function factsOf(file: ImportedFile): string {
  const damaged = file.damage
    .map(
      ({ kind, count, first_line }) =>
        `${decimal(count, 0)} ${DAMAGE_WORDS[kind][0]} (first on line ${decimal(first_line, 0)})`,
    )
    .join(', ');
  const days = file.days.length === 0 ? '' : `, ${counted(file.days.length, 'day')}`;
  return `${counted(file.lines, 'line')}${days}${damaged === '' ? '' : `; ${damaged}`}`;
}

function Sample({ file }: { readonly file: ImportedFile }) {
  const { mapping } = file;
  if (mapping === null) return null;
  return (
    <details>
      <summary className="quiet">Columns as understood{mapping.remembered ? ' (as last time)' : ''}</summary>
      <ul className="quiet">
        {mapping.mapping.columns.map(({ quantity, column, unit }) => (
          <li key={`${quantity} ${column}`}>
            {quantity.replaceAll('_', ' ')} from “{column}”{unit === undefined ? '' : `, in ${unit}`}
          </li>
        ))}
      </ul>
      <div className="preview-rows table-wrap">
        <table>
          <thead>
            <tr>
              {mapping.header.map((name) => (
                <th key={name} scope="col">
                  {name}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {mapping.rows.slice(0, 5).map((row) => (
              <tr key={row.join(' ')}>
                {row.map((cell, i) => (
                  <td key={mapping.header[i] ?? i}>{cell}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}
