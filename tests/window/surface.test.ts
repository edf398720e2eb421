import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { figureText, openSample, openStage, type Program, sheetOf, startProgram } from './window-fixture.ts';

// A step waits for whole builds, and other tests may have the machine's cores.
vi.setConfig({ testTimeout: 120_000 });

let program: Program;

beforeAll(async () => {
  program = await startProgram();
}, 120_000);

afterAll(() => program.close());

describe('the surface in the window', () => {
  it('is made when its stage is opened, and again as it is set', async () => {
    const { page, complaints, strayed, close } = await program.open();
    await openSample(page);
    await openStage(page, 'surface');
    const finding = page.locator('.panel > header > p');
    await finding.filter({ hasText: /cells of 16\.4 ft by kriging\. Passes left out/ }).waitFor();
    await page
      .locator('figcaption')
      .filter({ hasText: /alike up to about \d+ ft/ })
      .waitFor();
    await page.getByLabel('Its standard error').check();
    await page.locator('.map-legend').filter({ hasText: 'Standard error of yield' }).waitFor();
    await page.getByLabel('Yield', { exact: true }).check();

    await page.getByLabel('Zones on the map').check();
    await page.getByText(/bu\/ac and more · \d+ zones?/).waitFor();
    const lines = await page.locator('.field-outline').getAttribute('d');
    // the outline of the field alone has four corners
    expect(lines?.length).toBeGreaterThan(3000);
    await page.getByRole('button', { name: 'SI', exact: true }).click();
    await finding.filter({ hasText: /cells of 5\.0 m by kriging/ }).waitFor();
    await page
      .locator('figcaption')
      .filter({ hasText: /alike up to about \d+ m/ })
      .waitFor();
    const side = page.getByLabel('Side of a cell');
    await side.fill('20');
    await side.press('Enter');
    await finding.filter({ hasText: /cells of 20(\.0)? m by kriging/ }).waitFor({ timeout: 40_000 });
    expect(await figureText(page, 'surface')).toContain('kriging');
    // the mark follows when the host has kept it
    await page.getByLabel(/By plain means/).click();
    await finding.filter({ hasText: /cells of 20(\.0)? m by plain means\.$/ }).waitFor({ timeout: 40_000 });
    expect(sheetOf(program.home, 'alder-rise-2026').settings).toMatchObject({
      surface: { method: 'block_mean', cell_m: 20 },
    });
    await page.keyboard.press('Control+z');
    await page.keyboard.press('Control+z');
    await finding.filter({ hasText: /cells of 5(\.0)? m by kriging/ }).waitFor({ timeout: 40_000 });
    expect([complaints, strayed]).toEqual([[], []]);
    await close();
  });
});
