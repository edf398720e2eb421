/** `sheaflight import` on the command line: its arguments, options and help. */
import type { Command } from 'commander';
import { type ImportCommandChoices, importCommand } from './import.ts';
import type { CommandFrame } from './library-commands.ts';

export function addImportCommand(program: Command, { streams, ended, helpAfter }: CommandFrame): void {
  program
    .command('import')
    .description(
      'take files and folders into a season: each is recognised, copied unchanged and given its machine and field',
    )
    .argument('<season-folder>', 'folder that holds season.json; made when it is not there')
    .argument('<paths...>', 'files and folders to look into')
    .option('--machine <id>', 'the machine that recorded the logs')
    .option('--field <name>', 'the field that they were recorded in, where no boundary tells')
    .option('--crop <name>', 'what grew in fields that are new')
    .option(
      '--mapping <file-or-id>',
      'column mapping for tables: a JSON file, or the id of one of the season',
    )
    .option('--dry-run', 'say what would be done, and change nothing')
    .option('--json', 'print the report as JSON on stdout and nothing else')
    .helpOption('--help', 'show this help')
    .addHelpText('after', helpAfter)
    .action(async (folder: string, paths: string[], choices: ImportCommandChoices) => {
      ended(await importCommand(folder, paths, choices, streams));
    });
}
