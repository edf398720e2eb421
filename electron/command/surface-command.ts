/** `sheaflight surface` on the command line: its arguments, options and help. */
import { type Command, InvalidArgumentError, Option } from 'commander';
import { folderName, seasonFolder } from './folder-name.ts';
import type { CommandFrame } from './library-commands.ts';
import { type SurfaceChoices, surface } from './surface.ts';

export function addSurfaceCommand(program: Command, { streams, ended, helpAfter }: CommandFrame): void {
  program
    .command('surface')
    .description(
      'write surface.geojson (cells with standard errors) and zones.geojson of the fields of a season',
    )
    .argument('<season-folder>', 'folder that holds season.json', seasonFolder)
    .option('--out <dir>', 'folder for the results (default: <season-folder>/out)', folderName)
    .option('--field <name>', 'this field alone')
    .addOption(
      new Option('--method <method>', 'instead of what the season says').choices([
        'kriging',
        'inverse_distance',
        'block_mean',
      ]),
    )
    .option('--cell <metres>', 'side of the cells, instead of what the season or the data say', cellSide)
    .option('--quiet', 'print nothing but errors')
    .helpOption('--help', 'show this help')
    .addHelpText('after', helpAfter)
    .action(async (folder: string, choices: SurfaceChoices) => {
      ended(await surface(folder, choices, streams));
    });
}

function cellSide(text: string): number {
  const cell_m = Number(text);
  if (!(cell_m >= 0.5 && cell_m <= 500))
    throw new InvalidArgumentError('Give the side of a cell in metres, 0.5 to 500.');
  return cell_m;
}
