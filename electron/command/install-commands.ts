/** How the command lines of `placement` and `beam-check` read. */
import { type Command, InvalidArgumentError, Option } from 'commander';
import { type BeamCheckChoices, beamCheck } from './beam-check.ts';
import type { CommandFrame } from './library-commands.ts';
import { withNeeded } from './needed-option.ts';
import { type PlacementChoices, placement } from './placement.ts';

const LENGTHS = '\nLengths: 3.5in, "3 1/2in", 89mm; a bare number is inches, or mm with --units metric.';
const NEEDED = `
Needed: --depth and --width of the column, and of the paddles --pitch and --thickness, unless a season has them.
Example: sheaflight placement --depth 3.5in --width 6in --pitch 8in --thickness 3/8in --reach-inside none`;
const VERDICTS = '\nIt ends with 1 where something has to be mended before the first acre.';

export function addInstallCommands(program: Command, { streams, ended, helpAfter }: CommandFrame): void {
  const added = (name: string, description: string, more: string) =>
    program
      .command(name)
      .description(description)
      .helpOption('--help', 'show this help')
      .addHelpText('after', more + helpAfter)
      .option(
        '--season <dir>',
        'season folder: the paddles of its machine are taken, and the sheet goes to its out/',
      )
      .option('--machine <id>', 'which machine of the season')
      .option('--pitch <length>', 'from one paddle to the next')
      .option('--thickness <length>', 'thickness of a paddle')
      .addOption(
        new Option(
          '--units <units>',
          'units of bare numbers and of the sheet (default: those of the season, else us)',
        ).choices(['us', 'metric']),
      )
      .addOption(new Option('--paper <size>', 'paper of the sheet').choices(['letter', 'a4']))
      .option('--out <dir>', 'folder for the sheet')
      .option('--json', 'print the result as JSON and nothing else');

  const place = added(
    'placement',
    'where to mark and drill for the sensor: figures, and a worksheet with template to print',
    LENGTHS + NEEDED,
  );
  withNeeded(place, '--depth <length>', 'depth of the elevator column, back to front, over its outside');
  withNeeded(place, '--width <length>', 'width of the column: the way of the beam');
  place
    .option('--paddle-width <length>', 'width of a paddle')
    .option('--paddle-depth <length>', 'depth of a paddle')
    .option('--beam <length>', 'diameter of the light beam')
    .option(
      '--chain-from-back <length>',
      'middle of the chain from the back, where it runs through this column',
    )
    .option('--chain-thickness <length>', 'thickness of the chain, back to front')
    .option('--reach-outside <length>', 'how high above the lower shaft one can work on the outer side')
    .option('--reach-inside <length>', 'the same on the inner side; "none" where it cannot be reached')
    .option('--free-from <length>', 'lowest place that is free of brackets and covers')
    .option('--shafts <length>', 'from the lower shaft to the upper one')
    .option('--chain-speed <m/s>', 'speed of the chain, for its share of the lag', positive)
    .action(async (choices: PlacementChoices) => ended(await placement(choices, streams)));

  added('beam-check', 'judge a short log, taken while turning by hand and running empty', LENGTHS + VERDICTS)
    .argument('<log>', 'tick log, .gz or not')
    .option('--paddles <count>', 'paddles on the whole chain', positive)
    .option('--beam-height <length>', 'height of the light beam')
    .option('--counted <count>', 'paddles counted at the receiver’s light while turning by hand', positive)
    .option('--chain-speed <m/s>', 'speed of the chain by another measure', positive)
    .action(async (log: string, choices: BeamCheckChoices) => ended(await beamCheck(log, choices, streams)));
}

function positive(text: string): number {
  const number = Number(text);
  if (text.trim() === '' || !(number > 0 && Number.isFinite(number)))
    throw new InvalidArgumentError('Give a number above 0.');
  return number;
}
