/** `sheaflight compare` and `sheaflight seasons` on the command line: their arguments, options and help. */
import { type Command, Option } from 'commander';
import { GROUP_KINDS } from '../../core/analysis/totals/group-totals.ts';
import { type CompareChoices, compare } from './compare.ts';
import type { CommandFrame } from './library-commands.ts';

export function addCompareCommands(program: Command, { streams, ended, helpAfter }: CommandFrame): void {
  program
    .command('compare')
    .description(
      'compare treatments in strips, total fields by machine, variety, day and load, and reckon gross margins; writes comparison.json and tables as CSV',
    )
    .argument('<season-folder>', 'folder that holds season.json')
    .option('--out <dir>', 'folder for the results (default: <season-folder>/out)')
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
}
