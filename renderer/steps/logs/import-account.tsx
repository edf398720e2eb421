/** What came of an import, a line a file; where a file's columns are not clear, the guess to confirm. */
import type { ImportedFile, ImportReport } from '../../../core/host-contract.ts';
import { StateMark } from '../../app/figure.tsx';
import { decimal } from '../../text/quantities.ts';
import { counted, DAMAGE_WORDS } from '../../text/words.ts';
import { MappingForm } from './mapping-form.tsx';

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
              {file.mapping !== null && <MappingForm file={file} guess={file.mapping} />}
            </div>
          </li>
        ))}
        {report.questions.map((question) => (
          <li key={question.text}>
            <StateMark state={question.weight === 'needed' ? 'mend' : 'look'} />
            <span>{wordsOf(question)}</span>
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

/** Where the window has a place for the answer, it says so instead of naming keys of the sheet. */
function wordsOf({ code, about, text }: ImportReport['questions'][number]): string {
  if (code !== 'paddle') return text;
  return `${about} needs the measures of a paddle before its beam means grain: enter them under Machines, below.`;
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
