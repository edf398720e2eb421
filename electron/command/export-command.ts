/** `sheaflight export` on the command line: its arguments, options and help. */
import { type Command, Option } from 'commander';
import { FORMAT_NAMES, FORMATS, type FormatName } from '../../core/export/formats/format-list.ts';
import type { LayerKind } from '../../core/export/layers/layer.ts';
import { LAYER_KINDS } from '../../core/export/layers/layer-choice.ts';
import { type ExportChoices, exportLayers } from './export.ts';
import { folderName, seasonFolder } from './folder-name.ts';
import type { CommandFrame } from './library-commands.ts';
import { collected, listedNames } from './listed-names.ts';

const ABOUT = `
Formats:
${FORMAT_NAMES.map((name) => `  ${name.padEnd(12)} ${FORMATS[name].title}: ${FORMATS[name].good_for} (${FORMATS[name].kinds.join(', ')})`).join('\n')}

Layers:
  points       one a fix, with everything that is known there
  swaths       the ground that each point cut, as polygons
  cells        the surface, square by square, with standard errors
  zones        yield classes as polygons`;

export function addExportCommand(program: Command, { streams, ended, helpAfter }: CommandFrame): void {
  program
    .command('export')
    .description('write points, swaths, cells and zones of many fields in the formats of other programs')
    .argument('<season-folder>', 'folder that holds season.json', seasonFolder)
    .option('--out <dir>', 'folder for the files (default: <season-folder>/out/export)', folderName)
    .addOption(
      new Option('--as <formats>', 'formats, with commas between')
        .argParser(formatNames)
        .default(['geojson'], 'geojson'),
    )
    .addOption(
      new Option('--layers <layers>', 'layers, with commas between')
        .argParser(layerKinds)
        .default(['points'], 'points'),
    )
    .option('--field <name>', 'this field; once for each field (default: all)', collected)
    .addOption(
      new Option('--points <which>', 'kept ones, or all with the rule that caught them')
        .choices(['kept', 'all'])
        .default('kept'),
    )
    .addOption(new Option('--units <units>', "default: the season's own").choices(['us', 'metric']))
    .addOption(
      new Option('--files <how>', 'all fields together, or files for each')
        .choices(['together', 'each'])
        .default('together'),
    )
    .option('--no-cache', 'compute everything anew, and keep nothing in <season-folder>/cache')
    .option('--quiet', 'print nothing but errors')
    .helpOption('--help', 'show this help')
    .addHelpText('after', `${ABOUT}\n${helpAfter}`)
    .action(async (folder: string, choices: ExportChoices) => {
      ended(await exportLayers(folder, choices, streams));
    });
}

/** Names of formats with commas between, as given on the command line. */
export function formatNames(text: string): FormatName[] {
  return listedNames(text, FORMAT_NAMES, 'format');
}

/** Names of layers with commas between, as given on the command line. */
export function layerKinds(text: string): LayerKind[] {
  return listedNames(text, LAYER_KINDS, 'layer');
}
