import { EventEmitter } from 'node:events';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Host } from '../../electron/host/host.ts';
import { boot, carrier, type Shell, seasonAmong } from '../../electron/main.ts';
import { shellMenu } from '../../electron/shell-menu.ts';
import { isOurs, ORIGIN, openWindow, PAGE_PREFERENCES, placeOnScreen } from '../../electron/window.ts';

/** Stand-ins that write down what the shell asks of Electron. */
class StandInContents extends EventEmitter {
  openHandler: ((details: { url: string }) => { action: string }) | undefined;
  setWindowOpenHandler(handler: (details: { url: string }) => { action: string }): void {
    this.openHandler = handler;
  }
}

class StandInWindow extends EventEmitter {
  static made: StandInWindow[] = [];
  readonly webContents = new StandInContents();
  readonly loaded: string[] = [];
  isShown = false;
  readonly options: Record<string, unknown>;
  constructor(options: Record<string, unknown>) {
    super();
    this.options = options;
    StandInWindow.made.push(this);
  }
  static getAllWindows(): StandInWindow[] {
    return StandInWindow.made;
  }
  show(): void {
    this.isShown = true;
  }
  focus(): void {}
  restore(): void {}
  isMinimized(): boolean {
    return false;
  }
  async loadURL(address: string): Promise<void> {
    this.loaded.push(address);
  }
}

interface Answers {
  request?: (contents: unknown, permission: string, answer: (isGranted: boolean) => void) => void;
  check?: () => boolean;
  device?: () => boolean;
}

function standInSession() {
  const answers: Answers = {};
  return {
    answers,
    setPermissionRequestHandler: (handler: Answers['request']) => {
      answers.request = handler;
    },
    setPermissionCheckHandler: (handler: Answers['check']) => {
      answers.check = handler;
    },
    setDevicePermissionHandler: (handler: Answers['device']) => {
      answers.device = handler;
    },
  };
}

function opened() {
  StandInWindow.made = [];
  const session = standInSession();
  openWindow({ Window: StandInWindow, session, place: undefined, opens: '' } as unknown as Parameters<
    typeof openWindow
  >[0]);
  return { window: StandInWindow.made[0], answers: session.answers };
}

describe('the window is locked down', () => {
  it('runs its page in the sandbox, isolated, without Node and without a preload script', () => {
    const { window } = opened();
    const { webPreferences } = window.options as { webPreferences: Record<string, unknown> };
    expect(webPreferences).toBe(PAGE_PREFERENCES);
    expect(webPreferences).toMatchObject({
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      nodeIntegrationInWorker: false,
      nodeIntegrationInSubFrames: false,
      webSecurity: true,
      webviewTag: false,
    });
    expect(webPreferences).not.toHaveProperty('preload');
  });

  it('loads our own page and goes nowhere else', () => {
    const { window } = opened();
    expect(window.loaded).toEqual([`${ORIGIN}/`]);
    for (const kind of ['will-navigate', 'will-redirect']) {
      const stopped = (url: string) => {
        let isStopped = false;
        window.webContents.emit(kind, { url, preventDefault: () => (isStopped = true) });
        return isStopped;
      };
      expect(stopped('https://example.org/')).toBe(true);
      expect(stopped('file:///etc/passwd')).toBe(true);
      expect(stopped(`${ORIGIN}.example.org/`)).toBe(true);
      expect(stopped(`${ORIGIN}/#season=a`)).toBe(false);
    }
  });

  it('opens no other windows and no views', () => {
    const { window } = opened();
    expect(window.webContents.openHandler?.({ url: `${ORIGIN}/` })).toEqual({ action: 'deny' });
    let isStopped = false;
    window.webContents.emit('will-attach-webview', { preventDefault: () => (isStopped = true) });
    expect(isStopped).toBe(true);
  });

  it('grants no permission', () => {
    const { answers } = opened();
    const granted: boolean[] = [];
    for (const permission of ['geolocation', 'media', 'notifications', 'clipboard-read'])
      answers.request?.(undefined, permission, (isGranted) => granted.push(isGranted));
    expect(granted).toEqual([false, false, false, false]);
    expect(answers.check?.()).toBe(false);
    expect(answers.device?.()).toBe(false);
  });

  it('shows itself when there is something to show', () => {
    const { window } = opened();
    expect(window.isShown).toBe(false);
    window.emit('ready-to-show');
    expect(window.isShown).toBe(true);
  });
});

describe('addresses and places', () => {
  it('only our own origin is ours', () => {
    expect(isOurs(`${ORIGIN}/assets/a.js`)).toBe(true);
    for (const other of ['', 'app://other/', `${ORIGIN}x/`, 'http://sheaflight/', `https://${ORIGIN}/`])
      expect(isOurs(other)).toBe(false);
  });

  it('a remembered place counts while enough of it is on a screen', () => {
    const screen = { x: 0, y: 0, width: 1920, height: 1080 };
    const place = { x: 100, y: 50, width: 1200, height: 800 };
    expect(placeOnScreen(place, [screen])).toEqual(place);
    expect(placeOnScreen({ ...place, x: 1900 }, [screen])).toBeUndefined();
    expect(placeOnScreen({ ...place, x: 1900 }, [screen, { ...screen, x: 1920 }])).toBeDefined();
    for (const odd of [undefined, null, 'x', {}, { ...place, width: '1200' }])
      expect(placeOnScreen(odd, [screen])).toBeUndefined();
  });

  it('a season is named by its folder or the sheet in it, never by the program’s own file', () => {
    expect(seasonAmong(['/app/dist/electron/main.js', '--flag', '/seasons/a'])).toBe('/seasons/a');
    expect(seasonAmong(['/seasons/a/season.json'])).toBe('/seasons/a');
    expect(seasonAmong(['.', '--flag'])).toBeUndefined();
    expect(seasonAmong(['file:///seasons/home%202026'])).toBe('/seasons/home 2026');
  });
});

describe('what the page asks', () => {
  let pages: string;
  beforeAll(() => {
    pages = mkdtempSync(join(tmpdir(), 'sheaflight-pages-'));
    writeFileSync(join(pages, 'index.html'), '<!doctype html>');
  });
  afterAll(() => rmSync(pages, { recursive: true }));
  let tiles: string | undefined;
  const handler = async () => Response.json({ folder: '/seasons' });
  const host = { handler, tiles: async () => tiles } as unknown as Host;
  const ask = (address: string, headers: Record<string, string> = {}) =>
    carrier(host, pages)(new Request(address, { headers }));

  it('is served with the policy of the page', async () => {
    const page = await ask(`${ORIGIN}/`);
    expect(await page.text()).toBe('<!doctype html>');
    const policy = page.headers.get('content-security-policy') ?? '';
    expect(policy).toContain("default-src 'none'");
    expect(policy).not.toMatch(/unsafe-(inline|eval)/);
    expect(policy).not.toMatch(/https?:/);
    tiles = 'https://tiles.example.org';
    const wider = (await ask(`${ORIGIN}/`)).headers.get('content-security-policy');
    tiles = undefined;
    expect(wider).toContain("connect-src 'self' https://tiles.example.org;");
    expect(wider?.replaceAll(' https://tiles.example.org', '')).toBe(policy);
  });

  it('reaches the host by its routes only', async () => {
    expect(await (await ask(`${ORIGIN}/api/home`)).json()).toEqual({ folder: '/seasons' });
    expect((await ask(`${ORIGIN}/package.json`)).status).toBe(404);
    expect((await ask(`${ORIGIN}/%2e%2e/%2e%2e/etc/passwd`)).status).toBe(404);
  });

  it('is refused to anyone else', async () => {
    expect((await ask('app://other/api/home')).status).toBe(403);
    expect((await ask(`${ORIGIN}/api/home`, { origin: 'https://example.org' })).status).toBe(403);
  });
});

describe('boot', () => {
  let userData: string;
  beforeAll(() => {
    userData = mkdtempSync(join(tmpdir(), 'sheaflight-user-data-'));
  });
  afterAll(() => rmSync(userData, { recursive: true }));

  class StandInApp extends EventEmitter {
    hasQuit = false;
    isSandboxed = false;
    readonly isFirst: boolean;
    constructor(isFirst: boolean) {
      super();
      this.isFirst = isFirst;
    }
    requestSingleInstanceLock = () => this.isFirst;
    quit = () => {
      this.hasQuit = true;
    };
    enableSandbox = () => {
      this.isSandboxed = true;
    };
    whenReady = async () => undefined;
    getPath = () => userData;
  }

  async function booted(isFirst: boolean) {
    StandInWindow.made = [];
    const app = new StandInApp(isFirst);
    const schemes: unknown[] = [];
    const handled: string[] = [];
    const menus: { label?: string; submenu?: { accelerator?: string; click?: () => void }[] }[][] = [];
    const shell = {
      app,
      BrowserWindow: StandInWindow,
      Menu: {
        buildFromTemplate: (template: unknown) => template,
        setApplicationMenu: (template: (typeof menus)[number]) => menus.push(template),
      },
      dialog: { showOpenDialog: async () => ({ filePaths: ['/seasons/chosen'] }) },
      protocol: {
        registerSchemesAsPrivileged: (given: unknown[]) => schemes.push(...given),
        handle: (scheme: string) => handled.push(scheme),
      },
      screen: { getAllDisplays: () => [{ workArea: { x: 0, y: 0, width: 1920, height: 1080 } }] },
      session: { defaultSession: standInSession() },
    };
    await boot(shell as unknown as Shell, ['/seasons/home 2026']);
    return { app, schemes, handled, menus };
  }

  it('leaves at once when it already runs', async () => {
    const { app, handled } = await booted(false);
    expect(app.hasQuit).toBe(true);
    expect(handled).toEqual([]);
    expect(StandInWindow.made).toEqual([]);
  });

  it('serves the page under a scheme that may not bypass its policy, and opens the season asked for', async () => {
    const { app, schemes, handled, menus } = await booted(true);
    expect(app.isSandboxed).toBe(true);
    expect(schemes).toEqual([
      { scheme: 'app', privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true } },
    ]);
    expect(handled).toEqual(['app']);
    expect(menus).toHaveLength(1);
    expect(StandInWindow.made[0].loaded).toEqual([
      `${ORIGIN}/#folder=${encodeURIComponent('/seasons/home 2026')}`,
    ]);
    app.emit('second-instance', {}, ['/program', '/seasons/other']);
    expect(StandInWindow.made[0].loaded.at(-1)).toBe(`${ORIGIN}/#folder=%2Fseasons%2Fother`);
    app.emit('will-quit');
  });

  it('opens the season folder that is chosen from the menu, by its keys', async () => {
    const { app, menus } = await booted(true);
    const open = menus[0].find(({ label }) => label === '&File')?.submenu?.[0];
    expect(open?.accelerator).toBe('CmdOrCtrl+O');
    open?.click?.();
    await new Promise(setImmediate);
    expect(StandInWindow.made[0].loaded.at(-1)).toBe(`${ORIGIN}/#folder=%2Fseasons%2Fchosen`);
    app.emit('will-quit');
  });

  it('remembers the place of the window', async () => {
    const { app } = await booted(true);
    const place = { x: 40, y: 30, width: 1300, height: 820 };
    Object.assign(StandInWindow.made[0], { getNormalBounds: () => place });
    StandInWindow.made[0].emit('close');
    await booted(true);
    expect(StandInWindow.made[0].options).toMatchObject(place);
    app.emit('will-quit');
  });

  it('denies windows to whatever contents come into being', async () => {
    const { app } = await booted(true);
    const contents = new StandInContents();
    app.emit('web-contents-created', {}, contents);
    expect(contents.openHandler?.({ url: 'https://example.org' })).toEqual({ action: 'deny' });
    app.emit('will-quit');
  });
});

describe('menu', () => {
  it('has the system’s roles, and no developer tools', () => {
    for (const platform of ['darwin', 'win32', 'linux'])
      expect(JSON.stringify(shellMenu(platform, () => undefined))).not.toMatch(/toggleDevTools|forceReload/i);
    expect(shellMenu('darwin', () => undefined)[0]).toEqual({ role: 'appMenu' });
  });
});
