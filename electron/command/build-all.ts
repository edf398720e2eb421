/** `sheaflight build --all`: every season in a folder, a few at a time, and a table of what came of them. */
import { availableParallelism } from 'node:os';
import type { FormatName } from '../../core/export/formats/format-list.ts';
import type { LayerKind } from '../../core/export/layers/layer.ts';
import type { UnitSystem } from '../../core/export/report/figures.ts';
import { buildAll, type SeasonOutcome } from '../host/build-all/build-all.ts';
import { findSeasons, outFolders } from '../host/build-all/season-search.ts';
import { rowsText, tableText } from './build-table.ts';
import { EXIT, type ExitCode } from './exit-codes.ts';
import { writeFaultReport } from './fault-report.ts';
import { printable } from './printable.ts';
import { refuse } from './refuse.ts';
import { stoppable } from './stoppable.ts';
import { type BoardLine, boardLine, type Streams } from './streams.ts';

export interface BuildAllChoices {
  /** A folder for each season in it; `<season folder>/out` when absent. */
  readonly out?: string;
  readonly allPoints?: boolean;
  /** Also a folder for each field. */
  readonly eachField?: boolean;
  /** A line of JSON for each season instead of the table. */
  readonly json?: boolean;
  readonly quiet?: boolean;
  /** False with `--no-cache`. */
  readonly cache?: boolean;
  /** Seasons at a time; as many as there are cores when absent. */
  readonly jobs?: number;
  /** Also what is unchanged. */
  readonly again?: boolean;
  /** Of the table and the exports; each season's own when absent. */
  readonly units?: UnitSystem;
  readonly as?: readonly FormatName[];
  readonly layers?: readonly LayerKind[];
}

export async function buildAllSeasons(
  home: string,
  choices: BuildAllChoices,
  streams: Streams,
): Promise<ExitCode> {
  const found = await findSeasons(home, choices.out);
  if (!found.ok) return refuse(found, streams);
  const { seasons, passed } = found.value;
  if (!choices.quiet)
    for (const name of passed)
      streams.err(`sheaflight: ${printable(name)} is passed over: no season.json is in it.\n`);
  const board = boardLine(streams, seasons.length);
  const begun_ms = performance.now();
  const outcomes = await stoppable((signal) =>
    buildAll(
      {
        seasons,
        outs: outFolders(seasons, choices.out),
        points: choices.allPoints ? 'all' : 'kept',
        eachField: choices.eachField === true,
        exports: exportsOf(choices),
        jobs: choices.jobs ?? availableParallelism(),
        again: choices.again === true,
        usesCache: choices.cache !== false,
      },
      {
        onProgress: ({ name }, stage, share) => board.show(name, stage, share),
        onEnd: (outcome) => tellTrouble(outcome, board, streams),
        signal,
      },
    ),
  );
  board.wipe();
  if (choices.json) streams.out(rowsText(outcomes));
  else if (!choices.quiet)
    streams.out(tableText(outcomes, choices.units, (performance.now() - begun_ms) / 1000));
  return codeOf(outcomes);
}

function exportsOf({ as, layers, units }: BuildAllChoices) {
  return as && { formats: as, layers: layers ?? (['points'] as const), units };
}

/** On stderr at once, so that nobody waits for the table to hear of it. */
function tellTrouble(outcome: SeasonOutcome, board: BoardLine, streams: Streams): void {
  board.done(outcome.name);
  const say = (text: string) => streams.err(`sheaflight: ${printable(`${outcome.name}: ${text}`)}\n`);
  for (const remark of outcome.remarks) say(remark);
  if (outcome.fault !== undefined) {
    const fault = Object.assign(new Error(), { stack: outcome.fault });
    const path = writeFaultReport(fault, ['build', '--all', outcome.name], outcome.out);
    say(
      `${outcome.why}, which should not happen. A report is in ${path}; please send it to whoever looks after it.`,
    );
  } else if (outcome.why !== undefined) say(outcome.why);
}

function codeOf(outcomes: readonly SeasonOutcome[]): ExitCode {
  if (outcomes.some(({ state }) => state === 'stopped')) return EXIT.stopped;
  if (outcomes.some(({ fault }) => fault !== undefined)) return EXIT.internal_fault;
  if (outcomes.every(({ state }) => state === 'failed')) return EXIT.wrong_input;
  const isUsable = ({ figures }: SeasonOutcome) =>
    figures?.fields.some((field) => field.points_kept > 0) === true;
  return outcomes.every(isUsable) ? EXIT.done : EXIT.nothing_usable;
}
