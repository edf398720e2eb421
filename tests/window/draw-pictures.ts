/** `npm run pictures`: the program's icon from its drawing, and the picture of the window in the README. */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { programFolder } from '../../electron/host/program-version.ts';
import { launchChromium } from './chromium.ts';
import { openSample, openStage, settled, startProgram } from './window-fixture.ts';

const TOP = programFolder();
const ICON = join(TOP, 'electron', 'packaging', 'icon');
const WINDOW = join(TOP, 'sample-data', 'window.png');

await drawIcon();
await drawWindow();

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

/** Waits until the map has points and nothing moves any more. */
async function drawn(page: Page): Promise<void> {
  await page.locator('.field-map canvas').first().waitFor();
  await page.waitForTimeout(3000);
}

function say(path: string, picture: Buffer): void {
  writeFileSync(path, picture);
  console.log(`${path}  ${(picture.length / 1000).toFixed(0)} kB`);
}
