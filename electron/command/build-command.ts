/** `sheaflight build` on the command line, of one season and of all in a folder: its arguments, options and help. */
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { type Command, InvalidArgumentError, Option } from 'commander';
import { type BuildChoices, build } from './build.ts';
import { type BuildAllChoices, buildAllSeasons } from './build-all.ts';
import { EXIT } from './exit-codes.ts';
import { formatNames, layerKinds } from './export-command.ts';
import { folderName, seasonFolder } from './folder-name.ts';
import type { CommandFrame } from './library-commands.ts';

export interface BuildFrame extends CommandFrame {
  /** Told where results, and a fault report, go. */
  readonly writesInto: (out: string) => void;
}

const ABOUT_ALL = `
With --all, <season-folder> is a folder of seasons (or of folders of seasons, or one season): each is built by a process of its
own, so that one that fails stops no other, and a table at the end says what came of each. A season whose results are there
already for exactly the same files, sheet, options and program is left as it is; run the same command again to go on
after an interruption. It ends with 0 when all are done, with 1 when some failed or have nothing usable in them, with 2 when
nothing was built.`;

/** Options that only many seasons have. */
const ALL_ONLY = {
  jobs: '--jobs',
  again: '--again',
  units: '--units',
  as: '--as',
  layers: '--layers',
} as const;

type Choices = BuildChoices & BuildAllChoices & { readonly all?: boolean };

export function addBuildCommand(
  program: Command,
  { streams, ended, helpAfter, writesInto }: BuildFrame,
): void {
  program
    .command('build')
    .description(
      'run the whole chain on a season folder and write points.geojson, summary.json, report.html and loads.html',
    )
    .argument(
      '<season-folder>',
      'folder that holds season.json; with --all the folder of seasons',
      seasonFolder,
    )
    .option(
      '--out <dir>',
      'folder for the results (default: <season-folder>/out); with --all a folder for each season in it',
      folderName,
    )
    .option('--all-points', 'write the screened points too, each with the rule that caught it')
    .option('--each-field', 'write a folder with points and summary for each field as well')
    .option(
      '--json',
      'print summary.json on stdout and nothing else; with --all a line of JSON for each season',
    )
    .option('--quiet', 'print nothing but errors')
    .option(
      '--no-cache',
      'compute everything anew, and keep nothing in <season-folder>/cache (the results are the same either way)',
    )
    .option('--all', 'build every season in the folder')
    .addOption(
      new Option(
        '--jobs <count>',
        `with --all: seasons at a time (default: processor cores, here ${availableParallelism()})`,
      ).argParser(count),
    )
    .option('--again', 'with --all: build what is unchanged, too')
    .addOption(
      new Option(
        '--units <units>',
        "with --all: of the table and of --as (default: each season's own)",
      ).choices(['us', 'metric']),
    )
    .addOption(
      new Option(
        '--as <formats>',
        'with --all: also write <results>/export in these formats ("sheaflight export --help" lists them)',
      ).argParser(formatNames),
    )
    .addOption(
      new Option('--layers <layers>', 'with --as: layers, with commas between (default: points)').argParser(
        layerKinds,
      ),
    )
    .helpOption('--help', 'show this help')
    .addHelpText('after', `${ABOUT_ALL}\n${helpAfter}`)
    .action(async (folder: string, { all, ...choices }: Choices) => {
      if (all) {
        if (choices.layers !== undefined && choices.as === undefined)
          return ended(
            refusal('--layers says what --as is to hold; give --as too, for example --as geoparquet.'),
          );
        writesInto(choices.out ?? folder);
        return ended(await buildAllSeasons(folder, choices, streams));
      }
      const stray = (Object.keys(ALL_ONLY) as (keyof typeof ALL_ONLY)[]).find(
        (key) => choices[key] !== undefined,
      );
      if (stray !== undefined)
        return ended(refusal(`${ALL_ONLY[stray]} goes with --all, which builds every season in a folder.`));
      writesInto(choices.out ?? join(folder, 'out'));
      ended(await build(folder, choices, streams));
    });

  function refusal(text: string) {
    streams.err(`sheaflight: ${text}\n`);
    return EXIT.wrong_input;
  }
}

function count(text: string): number {
  const jobs = Number(text);
  if (!/^\d+$/.test(text.trim()) || jobs < 1 || jobs > MOST_JOBS)
    throw new InvalidArgumentError(`Give a whole number from 1 to ${MOST_JOBS}.`);
  return jobs;
}

/** More processes than any machine has use for are a slip of the finger. */
const MOST_JOBS = 1024;
