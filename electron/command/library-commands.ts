/** How the command line of the library's commands reads. */
import { type Command, InvalidArgumentError, Option } from 'commander';
import type { ExitCode } from './exit-codes.ts';
import { type HomeChoices, home, type NewChoices, newSeason, pack, unpack } from './library.ts';
import { collected } from './listed-names.ts';
import type { Streams } from './streams.ts';

/** What all commands share: how they end, and what stands under their help. */
export interface CommandFrame {
  readonly streams: Streams;
  readonly ended: (code: ExitCode) => void;
  readonly helpAfter: string;
}

export function addLibraryCommands(command: Command, { streams, ended, helpAfter }: CommandFrame): void {
  const added = (name: string, description: string) =>
    command
      .command(name)
      .description(description)
      .helpOption('--help', 'show this help')
      .addHelpText('after', helpAfter);

  added('home', 'list the seasons of the library')
    .option('--set <dir>', 'make this folder the library, now and from now on')
    .option('--json', 'print the list as JSON and nothing else')
    .action(async (choices: HomeChoices) => ended(await home(choices, streams)));

  added('new', 'make a season in the library and print its folder')
    .argument('<name>', 'name of the season, for example "Kestrel Flats 2026"')
    .addOption(new Option('--units <units>', 'units to show').choices(['us', 'metric']).default('us'))
    .option('--field <name:crop>', 'a field and its crop; once for each field', collected, [])
    .option('--header-width <metres>', 'add a combine with a header of this width', metres)
    .option('--in <dir>', 'another folder than the library')
    .action(async (name: string, choices: NewChoices) => ended(await newSeason(name, choices, streams)));

  added('pack', 'pack a season into one .zip, to mail or keep')
    .argument('<season-folder>', 'folder that holds season.json')
    .option('--out <file>', 'name of the zip (default: <season-folder>.zip here)')
    .action(async (folder: string, choices: { out?: string }) => ended(await pack(folder, choices, streams)));

  added('unpack', 'unpack a season from a .zip into the library and print its folder')
    .argument('<zip>', 'what "sheaflight pack" made')
    .option('--in <dir>', 'another folder than the library')
    .action(async (zip: string, choices: { in?: string }) => ended(await unpack(zip, choices, streams)));
}

function metres(text: string): number {
  const width_m = Number(text);
  if (text.trim() === '' || !Number.isFinite(width_m))
    throw new InvalidArgumentError('Give the width in metres, for example 9.144.');
  return width_m;
}
