/** Logs: what was read, what was damaged and what was done about it; machines, fields and files of the season. */
import { useRef } from 'react';
import type { Damage } from '../../../core/errors.ts';
import type { Summary } from '../../../core/result.ts';
import type { MachineSheet } from '../../../core/season.ts';
import { StateMark } from '../../app/figure.tsx';
import { useSession, useSessionState } from '../../session/use-session.ts';
import { decimal } from '../../text/quantities.ts';
import { counted, DAMAGE_WORDS, plain } from '../../text/words.ts';
import { Panel } from '../panel.tsx';
import { FieldList } from './field-list.tsx';
import { ImportAccount } from './import-account.tsx';
import { MachineList } from './machine-list.tsx';

export function LogsPanel() {
  const session = useSession();
  const { season, built, imported } = useSessionState();
  if (season === null) return null;
  const { document } = season;
  const files = document.logs.flatMap((log) => log.files);
  return (
    <Panel
      title="Logs"
      finding={findingOf(built?.reply.summary ?? null, files.length)}
      meaning={
        <p>
          Damage is normal in logs: power is cut, cables shake. Each kind is counted and put right where it
          can be; it never stops the import, and the files themselves are kept byte for byte.
        </p>
      }
    >
      <Missing machines={document.machines} hasLogs={files.length > 0} />
      {imported !== null && <ImportAccount report={imported} onClose={() => session.dismissImport()} />}
      <AddFiles />
      {built !== null && <InputTable summary={built.reply.summary} />}
      <MachineList machines={document.machines} />
      <FieldList fields={document.fields} />
    </Panel>
  );
}

function findingOf(summary: Summary | null, files: number): string {
  if (summary === null) {
    return files === 0
      ? 'No logs yet. Drop the logger’s files, tickets and boundaries anywhere on this window: machines and fields are made from them.'
      : `${counted(files, 'log file')} listed; the figures come with the first build.`;
  }
  let lines = 0;
  let damaged = 0;
  for (const input of summary.inputs) {
    lines += input.lines;
    for (const count of Object.values(input.damage)) damaged += count;
  }
  const share = lines > 0 ? (100 * damaged) / lines : 0;
  if (damaged === 0) return `${counted(lines, 'line')} read, none damaged.`;
  return `${counted(lines, 'line')} read; ${decimal(damaged, 0)} of them (${decimal(share, 2)} %) were damaged and set right or passed over.`;
}

/** Logs of a beam say nothing of grain before someone has measured a paddle. */
function Missing({
  machines,
  hasLogs,
}: {
  readonly machines: readonly MachineSheet[];
  readonly hasLogs: boolean;
}) {
  const { trouble } = useSessionState();
  const without = machines.filter(({ paddle }) => paddle === undefined).map(({ name }) => name);
  if (!hasLogs || without.length === 0 || trouble === null) return null;
  return (
    <p>
      <StateMark state="mend" /> Next: enter the paddle measures of {without.join(' and ')} under Machines.
    </p>
  );
}

function AddFiles() {
  const session = useSession();
  const picker = useRef<HTMLInputElement>(null);
  return (
    <div className="drop-place">
      Drop logs (.log, .csv, .gz), tickets and boundaries anywhere, or{' '}
      <button type="button" className="plain" onClick={() => picker.current?.click()}>
        choose files
      </button>
      <input
        ref={picker}
        type="file"
        multiple
        hidden
        aria-label="Files to import"
        onChange={({ target }) => {
          const files = [...(target.files ?? [])];
          target.value = '';
          if (files.length > 0) void session.importFiles(files);
        }}
      />
    </div>
  );
}

function InputTable({ summary }: { readonly summary: Summary }) {
  return (
    <section>
      <h3>
        Files <span className="quiet">damaged lines by kind</span>
      </h3>
      {summary.inputs.map((input) => {
        const kinds = Object.entries(input.damage);
        const total = kinds.reduce((sum, [, count]) => sum + count, 0);
        return (
          <details key={input.path}>
            <summary>
              <span>{nameOf(input.path)}</span>{' '}
              <span className="quiet">
                {counted(input.lines, 'line')}
                {total > 0 ? `, ${decimal(total, 0)} damaged` : ''}
              </span>
            </summary>
            {kinds.length > 0 && (
              <table>
                <tbody>
                  {kinds.map(([kind, count]) => (
                    <tr key={kind}>
                      <th scope="row">{DAMAGE_WORDS[kind as Damage['kind']]?.[0] ?? plain(kind)}</th>
                      <td>{decimal(count, 0)}</td>
                      <td className="words quiet">{DAMAGE_WORDS[kind as Damage['kind']]?.[1] ?? ''}</td>
                    </tr>
                  ))}
                </tbody>
              </table>
            )}
            <FirstLines summary={summary} path={input.path} />
            <p className="quiet">
              SHA-256 <code>{input.sha256.slice(0, 16)}…</code>
            </p>
          </details>
        );
      })}
    </section>
  );
}

/** The sentence with the first line of each kind, where the chain has said one of this file. */
function FirstLines({ summary, path }: { readonly summary: Summary; readonly path: string }) {
  const said = summary.warnings.filter(({ text }) => text.startsWith(`${path}:`));
  if (said.length === 0) return null;
  return (
    <ul className="quiet">
      {said.map(({ text }) => (
        <li key={text}>{text.slice(path.length + 2)}</li>
      ))}
    </ul>
  );
}

function nameOf(path: string): string {
  return path.slice(path.lastIndexOf('/') + 1);
}
