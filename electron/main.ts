/**
 * The shell: a boot checklist around one locked-down window. What the window shows and asks is served by the same host as
 * in browser mode, here under a scheme of our own, so that nothing listens on the network.
 */
import { readFileSync, realpathSync, writeFileSync } from 'node:fs';
import { basename, dirname, isAbsolute, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type * as Electron from 'electron';
import { SEASON_FILE } from '../core/season-file.ts';
import { createHost, type Host } from './host/host.ts';
import { importer } from './host/importer.ts';
import { withPageHeaders } from './host/page-headers.ts';
import { programFolder } from './host/program-version.ts';
import { errorReply } from './host/replies.ts';
import { staticFile } from './host/static-files.ts';
import { shellMenu } from './shell-menu.ts';
import { addressOf, isOurs, ORIGIN, openWindow, placeOnScreen, SCHEME } from './window.ts';

/** What the shell uses of Electron; tests hand in a stand-in. */
export type Shell = Pick<
  typeof Electron,
  'app' | 'BrowserWindow' | 'dialog' | 'Menu' | 'protocol' | 'screen' | 'session'
>;

// Anywhere but in Electron this file is only looked at: asking for the module would make it fetch its binary.
if (process.versions.electron !== undefined) await boot(await import('electron'), process.argv.slice(1));

export async function boot(shell: Shell, args: readonly string[]): Promise<void> {
  const { app, protocol } = shell;
  if (!app.requestSingleInstanceLock()) {
    app.quit();
    return;
  }
  app.enableSandbox();
  protocol.registerSchemesAsPrivileged([
    { scheme: SCHEME, privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true } },
  ]);
  let asked = seasonAmong(args);
  app.on('open-file', (event, path) => {
    event.preventDefault();
    asked = seasonAmong([path]);
    show(shell, asked);
  });
  app.on('second-instance', (_event, others) => show(shell, seasonAmong(others.slice(1))));
  app.on('window-all-closed', () => app.quit());
  // Nothing else may make a window or a view, whatever happens in ours.
  app.on('web-contents-created', (_event, contents) =>
    contents.setWindowOpenHandler(() => ({ action: 'deny' })),
  );
  await app.whenReady();
  const host = createHost({ importer });
  protocol.handle(SCHEME, carrier(host, realpathSync(join(programFolder(), 'dist', 'renderer'))));
  const menu = shellMenu(process.platform, () => void openChosen(shell));
  shell.Menu.setApplicationMenu(shell.Menu.buildFromTemplate(menu));
  const placeFile = join(app.getPath('userData'), 'window-place.json');
  const screens = shell.screen.getAllDisplays().map(({ workArea }) => workArea);
  const window = openWindow({
    Window: shell.BrowserWindow,
    session: shell.session.defaultSession,
    place: placeOnScreen(savedPlace(placeFile), screens),
    opens: opensOf(asked),
  });
  window.on('close', () => writePlace(placeFile, window.getNormalBounds()));
  app.on('will-quit', () => void host.close());
}

/** Requests of our own page: routes go to the host, all else is a file of the built window. */
export function carrier(host: Host, pages: string): (request: Request) => Promise<Response> {
  return async (request) => {
    const url = new URL(request.url);
    if (!isOurs(request.url)) return notFromHere();
    const origin = request.headers.get('origin');
    if (origin !== null && origin !== ORIGIN) return notFromHere();
    if (url.pathname.startsWith('/api/')) return withPageHeaders(await host.handler(request));
    const file = await staticFile(pages, url.pathname);
    return withPageHeaders(
      file ?? errorReply({ code: 'no_such_file', text: `There is no page ${url.pathname}.` }),
      await host.tiles(),
    );
  };
}

function notFromHere(): Response {
  return errorReply({ code: 'not_from_here', text: 'Only the program’s own window may ask.' });
}

/** The season folder that a command line or the system names: a whole path or its address, or that of the sheet in it. */
export function seasonAmong(args: readonly string[]): string | undefined {
  const paths = args.map((arg) => (arg.startsWith('file:///') ? fileURLToPath(arg) : arg));
  const path = paths.find((arg) => isAbsolute(arg) && !arg.endsWith('.js'));
  if (path === undefined) return undefined;
  return basename(path) === SEASON_FILE ? dirname(path) : path;
}

function opensOf(folder: string | undefined): string {
  return folder === undefined ? '' : `folder=${encodeURIComponent(folder)}`;
}

/** Brings the window to the front, with the season that was asked for. */
function show({ BrowserWindow }: Shell, folder: string | undefined): void {
  const [window] = BrowserWindow.getAllWindows();
  if (window === undefined) return;
  if (window.isMinimized()) window.restore();
  window.focus();
  if (folder !== undefined) void window.loadURL(addressOf(opensOf(folder)));
}

/** Lets the user choose a season folder by the system's own means. */
async function openChosen(shell: Shell): Promise<void> {
  const { filePaths } = await shell.dialog.showOpenDialog({ properties: ['openDirectory'] });
  if (filePaths.length > 0) show(shell, filePaths[0]);
}

function savedPlace(path: string): unknown {
  try {
    return JSON.parse(readFileSync(path, 'utf8'));
  } catch {
    return undefined;
  }
}

function writePlace(path: string, place: Electron.Rectangle): void {
  try {
    writeFileSync(path, JSON.stringify(place));
  } catch {
    // The window will open in its first place then, which harms nobody.
  }
}
