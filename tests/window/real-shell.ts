/** `npm run test:electron`: the real shell on an empty library, where Electron's binary is there; else one line says why not. */
import assert from 'node:assert/strict';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { _electron, type ElectronApplication, type Page } from 'playwright-core';
import { electronBinary, electronPackage, hasScreen } from '../../electron/electron-binary.ts';
import { programFolder } from '../../electron/host/program-version.ts';
import { ORIGIN } from '../../electron/window.ts';

const why = await run();
if (why !== undefined) console.log(`skipped: ${why}`);

/** Why nothing was run; undefined when everything was, and found right. */
async function run(): Promise<string | undefined> {
  const folder = electronPackage();
  const executablePath = folder === undefined ? undefined : electronBinary(folder, process.env);
  if (executablePath === undefined)
    return 'Electron’s binary is not there; "npx install-electron" fetches it.';
  if (!hasScreen(process.env, process.platform)) return 'a window needs a screen.';
  const scratch = mkdtempSync(join(tmpdir(), 'sheaflight-shell-'));
  const main = join(programFolder(), 'dist', 'electron', 'main.js');
  const env = { ...process.env, HOME: scratch, SHEAFLIGHT_HOME: join(scratch, 'home') };
  const app = await _electron.launch({
    executablePath,
    args: [main, `--user-data-dir=${join(scratch, 'user')}`],
    env,
  });
  try {
    await check(app);
    console.log('the real shell: all found right');
  } finally {
    await app.close();
    rmSync(scratch, { recursive: true, force: true });
  }
  return undefined;
}

async function check(app: ElectronApplication): Promise<void> {
  const page = await app.firstWindow();
  const complaints: string[] = [];
  page.on('pageerror', (fault) => complaints.push(fault.message));
  await page.getByRole('button', { name: 'Open the sample season' }).click();
  await page.locator('[data-stage="yield"] .figure').filter({ hasText: /\d/ }).waitFor({ timeout: 60_000 });
  assert.equal(new URL(page.url()).origin, new URL(ORIGIN).origin);
  await checkPage(page);
  await checkWindow(app);
  assert.deepEqual(complaints, []);
}

/** The page has no Node, opens nothing, goes nowhere. */
async function checkPage(page: Page): Promise<void> {
  assert.equal(await page.evaluate('typeof require + typeof process + typeof module'), 'undefined'.repeat(3));
  assert.equal(await page.evaluate('open("https://example.org/")'), null);
  const before = page.url();
  await page.evaluate('void (location.href = "https://example.org/")');
  await page.waitForTimeout(500);
  assert.equal(page.url(), before);
  assert.equal(await page.evaluate('Notification.permission'), 'denied');
  await assert.rejects(
    page.evaluate('Promise.resolve().then(() => new Function("return 1")())'),
    /unsafe-eval|CSP/i,
  );
}

/** Electron's types leave it out. */
interface Preferring {
  getLastWebPreferences(): Readonly<Record<string, unknown>>;
}

async function checkWindow(app: ElectronApplication): Promise<void> {
  const seen = await app.evaluate(({ app: own, BrowserWindow, Menu }) => ({
    windows: BrowserWindow.getAllWindows().length,
    preferences: (
      BrowserWindow.getAllWindows()[0].webContents as unknown as Preferring
    ).getLastWebPreferences(),
    menu: Menu.getApplicationMenu()?.items.map(({ label }) => label),
    isFirst: own.requestSingleInstanceLock(),
  }));
  assert.equal(seen.windows, 1);
  assert.equal(seen.preferences.contextIsolation, true);
  assert.equal(seen.preferences.sandbox, true);
  assert.equal(seen.preferences.nodeIntegration, false);
  assert.ok(seen.menu?.some((label) => /file/i.test(label)));
  assert.equal(seen.isFirst, true);
}
