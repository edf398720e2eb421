/** `npm run pictures`: the program's icon from its drawing, and the pictures of window and field report in the README. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { main } from '../../electron/command/main.ts';
import { FONT_FILES } from '../../electron/host/pdf/font-files.ts';
import { programFolder } from '../../electron/host/program-version.ts';
import { launchChromium } from './chromium.ts';
import { openSample, openStage, settled, startProgram } from './window-fixture.ts';

const TOP = programFolder();
const ICON = join(TOP, 'electron', 'packaging', 'icon');
const WINDOW = join(TOP, 'sample-data', 'window.png');
const REPORT = join(TOP, 'sample-data', 'field-report.png');

await drawIcon();
await drawWindow();
await drawReport();

async function drawIcon(): Promise<void> {
  const browser = await launchChromium();
  const page = await browser.newPage({ viewport: { width: 1024, height: 1024 } });
  await page.setContent(`<body style="margin:0">${readFileSync(`${ICON}.svg`, 'utf8')}`);
  say(`${ICON}.png`, await page.screenshot({ omitBackground: true }));
  await browser.close();
}

/** The loads of the sample season, its wrong ticket in sight. */
async function drawWindow(): Promise<void> {
  const program = await startProgram();
  const { page } = await program.open({ viewport: { width: 1440, height: 900 }, colorScheme: 'light' });
  await openSample(page);
  await settled(page);
  await openStage(page, 'loads');
  await drawn(page);
  say(WINDOW, await page.screenshot());
  await program.close();
}

/** The first page of a field report, in the letters of its PDF. */
async function drawReport(): Promise<void> {
  const out = mkdtempSync(join(tmpdir(), 'sheaflight-pictures-'));
  const sample = join(TOP, 'sample-data', 'alder-rise-2026');
  await main([
    'report',
    sample,
    '--out',
    out,
    '--field',
    'Three Oaks',
    '--as',
    'html',
    '--quiet',
    '--no-cache',
  ]);
  const browser = await launchChromium();
  const page = await browser.newPage({ viewport: { width: 900, height: 1200 }, bypassCSP: true });
  await page.goto(`file://${join(out, 'three-oaks-report.html')}`);
  const faces = Object.entries(FONT_FILES).map(([weight, path]) => {
    const font = readFileSync(path).toString('base64');
    return `@font-face { font-family: Set; font-weight: ${weight === 'strong' ? 600 : 400}; src: url(data:font/ttf;base64,${font}); }`;
  });
  await page.addStyleTag({ content: `${faces.join('')} html, svg { font-family: Set; }` });
  await page.evaluate('document.fonts.ready');
  say(REPORT, await page.locator('.page').first().screenshot());
  await browser.close();
  rmSync(out, { recursive: true });
}

/** Waits until the map has points and nothing moves any more. */
async function drawn(page: Page): Promise<void> {
  await page.locator('.field-map canvas').first().waitFor();
  await page.waitForTimeout(3000);
}

function say(path: string, picture: Buffer): void {
  writeFileSync(path, picture);
  console.log(`${path}  ${(picture.length / 1000).toFixed(0)} kB`);
}
