/** `sheaflight window`: the window in a browser of the user's own, served on this machine until it is stopped. */
import { existsSync, realpathSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { type BrowserMode, startBrowserMode } from '../host/browser-mode.ts';
import { codeOf } from '../host/file-layer.ts';
import { createHost } from '../host/host.ts';
import { importer } from '../host/importer.ts';
import { openFile } from '../host/opener.ts';
import { programFolder } from '../host/program-version.ts';
import { openSeasonFolder } from '../host/season-folder.ts';
import { EXIT, type ExitCode } from './exit-codes.ts';
import { writeFaultReport } from './fault-report.ts';
import { refuse } from './refuse.ts';
import type { Streams } from './streams.ts';

export interface WindowChoices {
  /** The library of seasons for this run. */
  readonly home?: string;
  /** False: only the address is printed. */
  readonly open?: boolean;
}

/** Serves until the process is told to stop (Ctrl-C, or its parent). */
export async function window(
  folder: string | undefined,
  choices: WindowChoices,
  streams: Streams,
): Promise<ExitCode> {
  const asked = folder === undefined ? undefined : await openSeasonFolder(folder);
  if (asked !== undefined && !asked.ok) return refuse(asked, streams);
  const pages = join(programFolder(), 'dist', 'renderer');
  if (!existsSync(join(pages, 'index.html')))
    return refusal('no_window', 'the window is not built; run "npm run build" in its folder.', streams);
  const reportFault = (caught: unknown) => writeFaultReport(caught, ['window'], undefined);
  const home = choices.home === undefined ? undefined : resolve(choices.home);
  const host = createHost({ home, importer, reportFault });
  let mode: BrowserMode;
  try {
    mode = await startBrowserMode({
      handler: host.handler,
      tiles: host.tiles,
      pages: realpathSync(pages),
      onFault: reportFault,
    });
  } catch (caught) {
    await host.close();
    if (codeOf(caught) === '') throw caught;
    const text = `no port could be opened on this computer (the system answered ${codeOf(caught)}).`;
    return refusal('no_port', text, streams);
  }
  const opens = asked === undefined ? '' : `#folder=${encodeURIComponent(asked.value.folder)}`;
  const address = `${mode.url}${opens}`;
  const isOpened = choices.open !== false && (await openFile(address));
  streams.out(`${isOpened ? 'Opening' : 'Open this address in a browser'}: ${address}\n`);
  streams.out('It is good for one browser, for ten minutes. Ctrl-C ends the program.\n');
  await untilStopped();
  await mode.close();
  await host.close();
  return EXIT.done;
}

function refusal(code: string, text: string, streams: Streams): ExitCode {
  return refuse({ error: { code, source: 'window', text }, notices: [] }, streams);
}

function untilStopped(): Promise<void> {
  return new Promise((stop) => {
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.once(signal, () => stop());
  });
}
