/** `sheaflight report` on the command line: its arguments, options and help. */
import { type Command, Option } from 'commander';
import { REPORT_FORMATS, type ReportFormat } from '../../core/export/report-choice.ts';
import { folderName, seasonFolder } from './folder-name.ts';
import type { CommandFrame } from './library-commands.ts';
import { collected, listedNames } from './listed-names.ts';
import { type ReportChoices, report } from './report.ts';

const ABOUT = `
Files: <field>-report.html and .pdf for each field, season-report.html and .pdf for all together. Without --field and
--season both are written. The PDF needs no browser; the HTML prints on A4 and on Letter.`;

export function addReportCommand(program: Command, { streams, ended, helpAfter }: CommandFrame): void {
  program
    .command('report')
    .description('write field reports to hand on, and a report over the season, as HTML and PDF')
    .argument('<season-folder>', 'folder that holds season.json', seasonFolder)
    .option('--out <dir>', 'folder for the reports (default: <season-folder>/out)', folderName)
    .option('--field <name>', 'this field; once for each field (default: all)', collected)
    .option('--season', 'the report over all fields')
    .addOption(
      new Option('--as <formats>', `of ${REPORT_FORMATS.join(' and ')}, with commas between`)
        .argParser(formatNames)
        .default([...REPORT_FORMATS], 'both'),
    )
    .addOption(new Option('--units <units>', "default: the season's own").choices(['us', 'metric']))
    .addOption(
      new Option('--paper <paper>', 'of the PDF; default: letter for US units, else a4').choices([
        'a4',
        'letter',
      ]),
    )
    .addOption(
      new Option('--map <ground>', 'what maps show').choices(['surface', 'swaths']).default('surface'),
    )
    .option('--no-cache', 'compute everything anew, and keep nothing in <season-folder>/cache')
    .option('--quiet', 'print nothing but errors')
    .helpOption('--help', 'show this help')
    .addHelpText('after', `${ABOUT}\n${helpAfter}`)
    .action(async (folder: string, choices: ReportChoices) => {
      ended(await report(folder, choices, streams));
    });
}

function formatNames(text: string): ReportFormat[] {
  return listedNames(text, REPORT_FORMATS, 'format of reports');
}
