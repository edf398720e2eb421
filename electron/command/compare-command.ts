/** `sheaflight compare` and `sheaflight seasons` on the command line: their arguments, options and help. */
import { type Command, InvalidArgumentError, Option } from 'commander';
import { GROUP_KINDS } from '../../core/analysis/totals/group-totals.ts';
import { type CompareChoices, compare } from './compare.ts';
import { folderName, seasonFolder, seasonFolders } from './folder-name.ts';
import type { CommandFrame } from './library-commands.ts';
import { withNeeded } from './needed-option.ts';
import { type SeasonsChoices, seasons } from './seasons.ts';

export function addCompareCommands(program: Command, { streams, ended, helpAfter }: CommandFrame): void {
  program
    .command('compare')
    .description(
      'compare treatments in strips, total fields by machine, variety, day and load, and reckon gross margins; writes comparison.json and tables as CSV',
    )
    .argument('<season-folder>', 'folder that holds season.json', seasonFolder)
    .option('--out <dir>', 'folder for the results (default: <season-folder>/out)', folderName)
    .option('--field <name>', 'this field alone')
    .option('--treatments <file>', 'GeoJSON whose polygons are strips, beside the comparisons of the season')
    .option('--property <name>', 'property of that file that holds the treatment (default: a guess, said)')
    .option('--replicate <name>', 'property of that file that holds pair or block')
    .addOption(new Option('--by <group>', 'this table of totals alone').choices(GROUP_KINDS))
    .option('--json', 'print comparison.json on stdout and nothing else')
    .option('--quiet', 'print nothing but errors')
    .helpOption('--help', 'show this help')
    .addHelpText('after', helpAfter)
    .action(async (folder: string, choices: CompareChoices) => {
      ended(await compare(folder, choices, streams));
    });
  const together = program
    .command('seasons')
    .description(
      'put several seasons of one field together: stability.geojson, .csv and .json with the mean and its sway, place by place',
    )
    .argument('<season-folders...>', 'two folders or more that hold season.json', seasonFolders);
  withNeeded(
    together,
    '--field <name>',
    'the field; in the other seasons it is found by its name or by its ground',
  )
    .option('--out <dir>', 'folder for the results (default: <first season-folder>/out)', folderName)
    .option('--cell <metres>', 'side of the cells', numberWithin(0.5, 500, 'metres'))
    .option(
      '--high <percent>',
      'mean from which on a place is high (default: 100)',
      numberWithin(10, 300, '%'),
    )
    .option(
      '--unstable-cv <percent>',
      'coefficient of variation above which it is unstable (default: 30)',
      numberWithin(1, 300, '%'),
    )
    .option('--quiet', 'print nothing but errors')
    .helpOption('--help', 'show this help')
    .addHelpText('after', helpAfter)
    .action(async (folders: string[], choices: SeasonsChoices) => {
      ended(await seasons(folders, choices, streams));
    });
}

function numberWithin(low: number, high: number, unit: string) {
  return (text: string): number => {
    const number = Number(text);
    if (text.trim() !== '' && number >= low && number <= high) return number;
    throw new InvalidArgumentError(`Give a number from ${low} to ${high} ${unit}.`);
  };
}
