/**
 * The one window, locked down: its page runs in the sandbox without Node, goes nowhere else, opens nothing, and is
 * granted nothing. What it can do it does by asking the host, as in a browser; there is no preload script.
 */
import type { BrowserWindow, BrowserWindowConstructorOptions, Rectangle, Session } from 'electron';

/** The scheme and host under which the page and the host's routes stand. */
export const SCHEME = 'app';
export const ORIGIN = `${SCHEME}://sheaflight`;

/** [Electron documentation, Security: checklist] */
export const PAGE_PREFERENCES = {
  contextIsolation: true,
  sandbox: true,
  nodeIntegration: false,
  nodeIntegrationInWorker: false,
  nodeIntegrationInSubFrames: false,
  webSecurity: true,
  allowRunningInsecureContent: false,
  webviewTag: false,
  navigateOnDragDrop: false,
  spellcheck: false,
} as const satisfies BrowserWindowConstructorOptions['webPreferences'];

/** Smallest window that the layout is made for. */
const LEAST = { width: 1024, height: 700 };
const FIRST = { width: 1440, height: 900 };
/** So much of a remembered window has to be on a screen for it to be taken up again, points each way. */
const LEAST_VISIBLE = 80;

export interface WindowOptions {
  /** The window class of Electron, or a stand-in. */
  readonly Window: new (
    options: BrowserWindowConstructorOptions,
  ) => BrowserWindow;
  readonly session: Session;
  readonly place: Rectangle | undefined;
  /** What stands behind `#`, e.g. `folder=…`. */
  readonly opens: string;
}

export function openWindow({ Window, session, place, opens }: WindowOptions): BrowserWindow {
  session.setPermissionRequestHandler((_contents, _permission, answer) => answer(false));
  session.setPermissionCheckHandler(() => false);
  session.setDevicePermissionHandler(() => false);
  const window = new Window({
    ...FIRST,
    ...place,
    minWidth: LEAST.width,
    minHeight: LEAST.height,
    show: false,
    title: 'Sheaflight',
    webPreferences: PAGE_PREFERENCES,
  });
  const { webContents } = window;
  webContents.setWindowOpenHandler(() => ({ action: 'deny' }));
  webContents.on('will-navigate', (event) => {
    if (!isOurs(event.url)) event.preventDefault();
  });
  webContents.on('will-redirect', (event) => {
    if (!isOurs(event.url)) event.preventDefault();
  });
  webContents.on('will-attach-webview', (event) => event.preventDefault());
  window.once('ready-to-show', () => window.show());
  void window.loadURL(addressOf(opens));
  return window;
}

/** The page's address, which opens what `opens` says. */
export function addressOf(opens: string): string {
  return opens === '' ? `${ORIGIN}/` : `${ORIGIN}/#${opens}`;
}

/** Whether an address stands under our own origin. */
export function isOurs(address: string): boolean {
  return URL.canParse(address) && address.startsWith(`${ORIGIN}/`);
}

/** The remembered place, when enough of it is on one of the screens that there are now. */
export function placeOnScreen(saved: unknown, screens: readonly Rectangle[]): Rectangle | undefined {
  if (!isRectangle(saved)) return undefined;
  const isSeen = screens.some((screen) => {
    const wide = Math.min(saved.x + saved.width, screen.x + screen.width) - Math.max(saved.x, screen.x);
    const high = Math.min(saved.y + saved.height, screen.y + screen.height) - Math.max(saved.y, screen.y);
    return wide >= LEAST_VISIBLE && high >= LEAST_VISIBLE;
  });
  return isSeen ? saved : undefined;
}

function isRectangle(saved: unknown): saved is Rectangle {
  if (typeof saved !== 'object' || saved === null) return false;
  const sides = saved as Readonly<Record<string, unknown>>;
  return ['x', 'y', 'width', 'height'].every((side) => Number.isInteger(sides[side]));
}
