/** The whole program but its shell: the built window, the real host on an empty library, a real browser. */
import { existsSync, mkdtempSync, readFileSync, realpathSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import { type BrowserMode, startBrowserMode } from '../../electron/host/browser-mode.ts';
import { createHost, type Host } from '../../electron/host/host.ts';
import { importer } from '../../electron/host/importer.ts';
import { programFolder } from '../../electron/host/program-version.ts';
import { launchChromium } from './chromium.ts';

const PAGES = join(programFolder(), 'dist', 'renderer');

export interface OpenWindow {
  readonly page: Page;
  /** Requests that left this machine's loopback address. */
  readonly strayed: string[];
  /** What the page's console complained of: faults, refusals of the content security policy. */
  readonly complaints: string[];
  readonly close: () => Promise<void>;
}

export interface Program {
  /** The library of seasons; empty at first. */
  readonly home: string;
  readonly browser: Browser;
  /** A window of its own, signed in. */
  readonly open: (options?: BrowserContextOptions) => Promise<OpenWindow>;
  readonly close: () => Promise<void>;
}

export async function startProgram(): Promise<Program> {
  if (!existsSync(join(PAGES, 'index.html'))) throw new Error('run "npm run build" first');
  const scratch = realpathSync(mkdtempSync(join(tmpdir(), 'sheaflight-window-')));
  const home = join(scratch, 'home');
  const host = createHost({ environment: { HOME: scratch }, home, importer });
  const browser = await launchChromium();
  const servers: BrowserMode[] = [];
  return {
    home,
    browser,
    open: async (options) => {
      const server = await serving(host);
      servers.push(server);
      return openWindow(browser, server, options);
    },
    close: async () => {
      await browser.close();
      for (const server of servers) await server.close();
      await host.close();
      rmSync(scratch, { recursive: true, force: true });
    },
  };
}

function serving(host: Host): Promise<BrowserMode> {
  return startBrowserMode({ handler: host.handler, tiles: host.tiles, pages: PAGES });
}

async function openWindow(
  browser: Browser,
  server: BrowserMode,
  options: BrowserContextOptions = {},
): Promise<OpenWindow> {
  const context = await browser.newContext({
    viewport: { width: 1440, height: 900 },
    locale: 'en-US',
    reducedMotion: 'reduce',
    ...options,
  });
  const page = await context.newPage();
  const strayed: string[] = [];
  const complaints: string[] = [];
  page.on('request', (request) => {
    const { protocol, hostname } = new URL(request.url());
    if (!['blob:', 'data:'].includes(protocol) && hostname !== '127.0.0.1') strayed.push(request.url());
  });
  page.on('pageerror', (fault) => complaints.push(fault.message));
  page.on('console', (message) => {
    // 409 answers what was tried and has been overtaken since: the window passes over it.
    if (message.type() === 'error' && !message.text().includes('409')) complaints.push(message.text());
  });
  await page.goto(server.url);
  return { page, strayed, complaints, close: () => context.close() };
}

/** Opens the sample season and waits until there are figures. */
export async function openSample(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Open the sample season' }).click();
  await figure(page, 'yield').filter({ hasText: /\d/ }).waitFor({ timeout: 40_000 });
}

/** The figure of a stage on the stage line. */
export function figure(page: Page, stage: string) {
  return page.locator(`[data-stage="${stage}"] .figure`);
}

export async function figureText(page: Page, stage: string): Promise<string> {
  return (await figure(page, stage).textContent()) ?? '';
}

export async function openStage(page: Page, stage: string): Promise<void> {
  await page.locator(`[data-stage="${stage}"]`).click();
}

/** Waits until no work is shown at the window's foot. */
export async function settled(page: Page): Promise<void> {
  await page.waitForTimeout(150);
  await page.locator('footer progress').waitFor({ state: 'detached', timeout: 40_000 });
}

/** The season's sheet on the disk. */
export function sheetOf(home: string, folder: string): Record<string, unknown> {
  return JSON.parse(readFileSync(join(home, folder, 'season.json'), 'utf8'));
}
