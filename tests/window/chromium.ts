/** A real Chromium: the one named by `CHROME_PATH`, else the system's, else the one in the npm package. */
import { existsSync } from 'node:fs';
import packaged from '@sparticuz/chromium';
import { type Browser, chromium } from 'playwright-core';

const SYSTEM = [
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/usr/bin/google-chrome-stable',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
];

/** Software rendering, so that the map's WebGL works on machines without a graphics card. */
const FLAGS = [
  '--no-sandbox',
  '--use-angle=swiftshader',
  '--enable-unsafe-swiftshader',
  '--disable-dev-shm-usage',
];

export async function launchChromium(): Promise<Browser> {
  const named = process.env.CHROME_PATH;
  const executablePath =
    named ?? SYSTEM.find((path) => existsSync(path)) ?? (await packaged.executablePath());
  return chromium.launch({ executablePath, args: FLAGS, headless: true });
}
