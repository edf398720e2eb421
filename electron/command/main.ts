/** The headless command: `sheaflight build`, `sheaflight check`, and the library of seasons. */
import { Command, CommanderError } from 'commander';
import { programVersion } from '../host/program-version.ts';
import { addBuildCommand } from './build-command.ts';
import { check } from './check.ts';
import { addCompareCommands } from './compare-command.ts';
import { EXIT, type ExitCode } from './exit-codes.ts';
import { addExportCommand } from './export-command.ts';
import { writeFaultReport } from './fault-report.ts';
import { folderName, seasonFolder } from './folder-name.ts';
import { addImportCommand } from './import-command.ts';
import { addInstallCommands } from './install-commands.ts';
import { addLibraryCommands } from './library-commands.ts';
import { addReportCommand } from './report-command.ts';
import { processStreams, type Streams } from './streams.ts';
import { addSurfaceCommand } from './surface-command.ts';
import { type WindowChoices, window } from './window.ts';

/** Runs one command line (without node and script) and returns its exit code; never throws. */
export async function main(args: readonly string[], streams: Streams = processStreams()): Promise<ExitCode> {
  const run: Run = { code: EXIT.done, out: undefined };
  try {
    await program(run, streams).parseAsync([...args], { from: 'user' });
    return run.code;
  } catch (caught) {
    if (caught instanceof CommanderError) return caught.exitCode === 0 ? EXIT.done : EXIT.wrong_input;
    const path = writeFaultReport(caught, args, run.out);
    streams.err(
      `sheaflight: the program itself failed, which should not happen. A report is in ${path}; please send it to whoever looks after the program.\n`,
    );
    return EXIT.internal_fault;
  }
}

/** What a command line came to. */
interface Run {
  code: ExitCode;
  /** Where results, and a fault report, go. */
  out: string | undefined;
}

const EXIT_CODES = `
Exit codes: 0 done; 1 done, but nothing usable is in it; 2 the input is wrong (one line says what, where and how to
mend it); 3 an internal fault (a report file says more); 130 stopped with Ctrl-C.`;

function program(run: Run, streams: Streams): Command {
  const command = new Command('sheaflight')
    .description(
      'Yield maps and calibrated totals from the logs of optical (light-beam) combine yield sensors.',
    )
    .version(programVersion(), '--version', 'print the version')
    .helpOption('--help', 'show this help')
    .helpCommand(false)
    .addHelpText('after', EXIT_CODES)
    .exitOverride()
    .showSuggestionAfterError(true)
    .configureOutput({
      writeOut: streams.out,
      writeErr: streams.err,
      outputError: (text, write) => write(inOneLine(text)),
    });

  const own = {
    streams,
    ended: (code: ExitCode) => {
      run.code = code;
    },
    helpAfter: EXIT_CODES,
  };
  addBuildCommand(command, {
    ...own,
    writesInto: (out) => {
      run.out = out;
    },
  });

  command
    .command('check')
    .description('read a season folder and list what is damaged or odd in it, without writing anything')
    .argument('<season-folder>', 'folder that holds season.json', seasonFolder)
    .helpOption('--help', 'show this help')
    .addHelpText('after', EXIT_CODES)
    .action(async (folder: string) => {
      run.code = await check(folder, streams);
    });

  addImportCommand(command, own);
  addSurfaceCommand(command, own);
  addReportCommand(command, own);
  addExportCommand(command, own);
  addCompareCommands(command, own);
  addInstallCommands(command, own);
  addLibraryCommands(command, own);

  command
    .command('window')
    .description('show the window in a browser on this computer, until Ctrl-C')
    .argument('[season-folder]', 'season to open at once (default: the library of seasons)')
    .option('--home <dir>', 'another library, for this time', folderName)
    .option('--no-open', 'print the address, and open no browser')
    .helpOption('--help', 'show this help')
    .addHelpText('after', EXIT_CODES)
    .action(async (folder: string | undefined, choices: WindowChoices) => {
      run.code = await window(folder, choices, streams);
    });
  return command;
}

/** How a refused argument of an option is announced before the sentence that says what it may be. */
const REFUSED_ARGUMENT = /^option '(-{1,2}[^ ']+)[^']*' argument ('.*') is invalid\. (?=[A-Z])/;

/** `error: unknown option '--al'\n(Did you mean --all-points?)` on one line, in the voice of the other errors. */
function inOneLine(text: string): string {
  return `sheaflight: ${text
    .trim()
    .replace(/^error: /, '')
    .replace(REFUSED_ARGUMENT, '$1 $2: ')
    .replaceAll('\n', ' ')
    .replace(/\.$/, '')}; --help shows all.\n`;
}
