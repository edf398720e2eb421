/** `sheaflight check`: reads everything and says what is damaged or odd, without writing anything. */
import type { Notice, Severity } from '../../core/errors.ts';
import type { Summary } from '../../core/result.ts';
import { runSeason } from '../host/run-season.ts';
import { openSeasonFolder } from '../host/season-folder.ts';
import { EXIT, type ExitCode } from './exit-codes.ts';
import { printable } from './printable.ts';
import { progressLine, type Streams } from './streams.ts';

/** The shapes of the window's state marks, in ASCII. */
const MARKS: Readonly<Record<Severity, string>> = { info: '  ', look: '! ', mend: 'X ' };

export async function check(folder: string, streams: Streams): Promise<ExitCode> {
  const open = await openSeasonFolder(folder);
  if (open.ok && open.value.season.logs.length === 0) {
    streams.out(noticeLines(open.notices));
    streams.out(`The season sheet of ${open.value.season.name} is sound; it lists no logs yet.\n`);
    return EXIT.done;
  }
  const progress = progressLine(streams);
  const run = await runSeason(folder, progress.show);
  progress.wipe();
  if (!run.ok) {
    streams.err(`sheaflight: ${printable(run.error.text)}\n`);
    streams.out(noticeLines(run.notices.filter(({ text }) => text !== run.error.text)));
    return EXIT.wrong_input;
  }
  streams.out(inputLines(run.value.result.summary.inputs));
  streams.out(noticeLines(run.notices));
  streams.out(run.notices.some((notice) => notice.severity !== 'info') ? '' : 'Nothing needs a look.\n');
  return EXIT.done;
}

/** One line a file; its damage is among the notices, each kind with its first line. */
function inputLines(inputs: Summary['inputs']): string {
  return inputs.map(({ path, lines }) => `${path}: ${lines} ${lines === 1 ? 'line' : 'lines'}\n`).join('');
}

/** The gravest first. */
function noticeLines(notices: readonly Notice[]): string {
  const order: readonly Severity[] = ['mend', 'look', 'info'];
  return [...notices]
    .sort((a, b) => order.indexOf(a.severity) - order.indexOf(b.severity))
    .map((notice) => `${MARKS[notice.severity]}${printable(notice.text)}\n`)
    .join('');
}
