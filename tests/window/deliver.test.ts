import { existsSync, readFileSync, statSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { openSample, openStage, type Program, startProgram } from './window-fixture.ts';

// A step waits for whole builds, and other tests may have the machine's cores.
vi.setConfig({ testTimeout: 120_000 });

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

let program: Program;

beforeAll(async () => {
  program = await startProgram();
}, 120_000);

afterAll(() => program.close());

describe('files for others', () => {
  it('are written of some fields in several formats, and the choice is remembered', async () => {
    // The checker of accessibility is a foreign script: for it alone the page's policy is lifted.
    const { page, complaints, strayed, close } = await program.open({ bypassCSP: true });
    await openSample(page);
    await openStage(page, 'deliver');
    const box = (name: RegExp) => page.getByRole('checkbox', { name });
    expect(await box(/^GeoTIFF/).isDisabled()).toBe(true);
    await page.getByText('Holds cells only: choose them above.').waitFor();
    await box(/^Cells:/).check();
    await box(/^GeoTIFF/).check();
    await page.getByText('Without points.').waitFor();
    await box(/^GeoJSON/).uncheck();
    await box(/^CSV/).check();
    await page.getByLabel(/^Some/).check();
    await page.getByRole('radio', { name: /^Metric/ }).check();
    const write = page.getByRole('button', { name: 'Write 2 layers of 1 field in 2 formats' });
    await write.focus();
    await page.keyboard.press('Enter');
    const written = page.getByRole('status', { name: 'Layers written' });
    await written.waitFor({ timeout: 60_000 });
    const links = await written.getByRole('link').allTextContents();
    expect(links).toEqual([
      'alder-rise-2026-points.csv',
      'alder-rise-2026-cells.csv',
      'alder-rise-2026-cells.tif',
      'alder-rise-2026-about.txt',
    ]);
    const folder = join(program.home, 'alder-rise-2026', 'out', 'export');
    for (const name of links) expect(existsSync(join(folder, name))).toBe(true);
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      written.getByRole('link', { name: 'alder-rise-2026-cells.tif' }).click(),
    ]);
    const { size } = statSync(await download.path());
    expect(size).toBe(statSync(join(folder, 'alder-rise-2026-cells.tif')).size);
    await page.addScriptTag({ content: AXE });
    const { violations } = (await page.evaluate('axe.run()')) as {
      violations: readonly { id: string; impact: string }[];
    };
    expect(violations.filter(({ impact }) => impact === 'serious' || impact === 'critical')).toEqual([]);

    // without a layer there is nothing to write, and that is said
    await box(/^Cells:/).uncheck();
    await box(/^Points:/).uncheck();
    await page.getByText('Choose what to write.').waitFor();
    expect(await page.getByRole('button', { name: 'Write files' }).isDisabled()).toBe(true);
    expect([complaints, strayed]).toEqual([[], []]);
    await close();

    const again = await program.open();
    await again.page.getByRole('button', { name: 'Open the sample season' }).click();
    await openStage(again.page, 'deliver');
    const csv = again.page.getByRole('checkbox', { name: /^CSV/ });
    await csv.waitFor({ timeout: 40_000 });
    await expect.poll(() => csv.isChecked()).toBe(true);
    expect(await again.page.getByRole('radio', { name: /^Metric/ }).isChecked()).toBe(true);
    expect(await again.page.getByRole('radio', { name: /^All 2 fields/ }).isChecked()).toBe(true);
    await again.close();
  });

  it('tell how far they are, and writing is stopped', async () => {
    const { page, close } = await program.open();
    await page.getByRole('button', { name: 'Open the sample season' }).click();
    await openStage(page, 'deliver');
    // cells that take a while
    await openStage(page, 'surface');
    const side = page.getByLabel('Side of a cell');
    await page
      .locator('.panel > header > p')
      .filter({ hasText: /cells of/ })
      .waitFor({ timeout: 40_000 });
    await side.fill('3.5');
    await side.press('Enter');
    await page.locator('.tried.at-foot').waitFor({ state: 'detached', timeout: 40_000 });
    await page.waitForTimeout(200);
    await page.locator('footer progress').waitFor({ state: 'detached', timeout: 40_000 });
    await openStage(page, 'deliver');
    await page.getByRole('checkbox', { name: /^Cells:/ }).check();
    await page.getByRole('button', { name: /^Write .* fields/ }).click();
    const foot = page.locator('.foot-actions');
    await foot.getByRole('progressbar').waitFor();
    await foot.getByRole('button', { name: 'Stop' }).click();
    await foot.getByText('Stopped; nothing was written.').waitFor({ timeout: 40_000 });
    await close();
  });
});
