import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import {
  figureText,
  type OpenWindow,
  openSample,
  openStage,
  type Program,
  settled,
  sheetOf,
  startProgram,
} from './window-fixture.ts';

// A step waits for whole builds, and other tests may have the machine's cores.
vi.setConfig({ testTimeout: 120_000 });

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

let program: Program;
let opened: OpenWindow;

beforeAll(async () => {
  program = await startProgram();
  // The checker of accessibility is a foreign script: for it alone the page's policy is lifted.
  opened = await program.open({ bypassCSP: true });
  await openSample(opened.page);
  await openStage(opened.page, 'surface');
}, 120_000);

afterAll(() => program.close());

const finding = () => opened.page.locator('.panel > header > p');
const tried = () => opened.page.locator('.tried.at-foot');
const settings = () => (sheetOf(program.home, 'alder-rise-2026') as { settings?: object }).settings;

describe('the surface in the window', () => {
  it('is made when its stage is opened, with its standard errors and its zones', async () => {
    const { page } = opened;
    await finding()
      .filter({ hasText: /cells of 16\.4 ft by kriging\. Passes left out/ })
      .waitFor({ timeout: 40_000 });
    await page
      .locator('figcaption')
      .filter({ hasText: /alike up to about \d+ ft/ })
      .waitFor();
    await page.getByLabel('Its standard error').check();
    await page.locator('.map-legend').filter({ hasText: 'Standard error of yield' }).waitFor();
    await page.getByLabel('Yield', { exact: true }).check();
    await page.getByLabel(/^Zones on the map/).check();
    await page.getByText(/\d+ zones?, \d+ small patch/).waitFor();
    const lines = await page.locator('.field-outline').getAttribute('d');
    // the outline of the field alone has four corners
    expect(lines?.length).toBeGreaterThan(3000);
    await page.getByRole('button', { name: 'SI', exact: true }).click();
    await finding()
      .filter({ hasText: /cells of 5\.0 m by kriging/ })
      .waitFor();
    await settled(page);
  });

  it('shows other settings before they are kept, and makes the newest of those asked for', async () => {
    const { page } = opened;
    const side = page.getByLabel('Side of a cell');
    await side.fill('2');
    await side.fill('20');
    await finding()
      .filter({ hasText: /cells of 20\.0 m by kriging/ })
      .waitFor({ timeout: 40_000 });
    await tried()
      .getByText(/Not kept yet\. \d+ cells instead of [\d,]+; passes left out are foretold/)
      .waitFor();
    expect(settings() ?? {}).not.toHaveProperty('surface');
    await tried().getByRole('button', { name: 'Leave as it was' }).click();
    await finding()
      .filter({ hasText: /cells of 5\.0 m by kriging/ })
      .waitFor();
    await tried().waitFor({ state: 'detached' });
    // one number kept at once, another by the button
    await side.fill('20');
    await side.press('Enter');
    await tried().waitFor({ state: 'detached', timeout: 40_000 });
    await page.getByLabel(/By plain means/).click();
    await finding()
      .filter({ hasText: /cells of 20\.0 m by plain means\.$/ })
      .waitFor({ timeout: 40_000 });
    await tried().getByRole('button', { name: 'Keep' }).click();
    await expect.poll(() => figureText(page, 'surface'), { timeout: 40_000 }).toContain('plain means');
    expect(settings()).toMatchObject({ surface: { method: 'block_mean', cell_m: 20 } });
    await settled(page);
    await page.keyboard.press('Control+z');
    await settled(page);
    await page.keyboard.press('Control+z');
    await finding()
      .filter({ hasText: /cells of 5\.0 m by kriging/ })
      .waitFor({ timeout: 40_000 });
    await settled(page);
  });

  it('says what cannot be made, and can be stopped', async () => {
    const { page } = opened;
    const side = page.getByLabel('Side of a cell');
    await side.fill('0.5');
    await tried().getByRole('button', { name: 'Stop' }).click({ timeout: 20_000 });
    await tried().getByText('Stopped; the map shows the surface before.').waitFor();
    await tried().getByRole('button', { name: 'Leave as it was' }).click();
    await tried().waitFor({ state: 'detached' });
  });

  it('has classes whose limits are moved in the legend by keys and pointer, or typed', async () => {
    const { page } = opened;
    await page.getByLabel(/^Yield in classes/).check();
    const limit = page.getByRole('slider', { name: /^Limit 2 of 4/ });
    const was = Number(await limit.getAttribute('aria-valuenow'));
    await limit.press('Shift+ArrowRight');
    await expect
      .poll(async () => Number(await limit.getAttribute('aria-valuenow')))
      .toBeCloseTo(was + 0.1, 6);
    await page.locator('.map-legend').filter({ hasText: '5 classes, limits by hand' }).waitFor();
    const knob = await limit.locator('circle').boundingBox();
    if (knob === null) throw new Error('no limit to drag');
    await page.mouse.move(knob.x + knob.width / 2, knob.y + knob.height / 2);
    await page.mouse.down();
    await page.mouse.move(knob.x - 10, knob.y + 5, { steps: 4 });
    await page.mouse.up();
    await expect.poll(async () => Number(await limit.getAttribute('aria-valuenow'))).toBeLessThan(was + 0.1);
    const typed = page.getByLabel('Limit 1', { exact: true });
    await typed.fill('2.5');
    await page.locator('.pairs', { hasText: 'below 2.50 t/ha' }).waitFor();
    await tried().getByText('Cells are the same; only classes and zones change.').waitFor();
    await tried().getByRole('button', { name: 'Leave as it was' }).click();
  });

  it('has a variogram that is pulled by keys, and goes back to the fitted one', async () => {
    const { page } = opened;
    const range = page.getByRole('slider', { name: 'Range, m' });
    const was = Number(await range.getAttribute('aria-valuenow'));
    await range.press('Shift+ArrowLeft');
    await expect.poll(async () => Number(await range.getAttribute('aria-valuenow'))).toBeLessThan(was);
    await tried()
      .getByText(/cells as before; passes left out/)
      .waitFor({ timeout: 40_000 });
    await tried().getByRole('button', { name: 'Difference' }).click();
    await page.locator('.map-legend').filter({ hasText: 'After − before, about zero; 9 classes' }).waitFor();
    await page.addScriptTag({ content: AXE });
    const { violations } = (await page.evaluate('axe.run()')) as {
      violations: readonly { id: string; impact: string }[];
    };
    expect(violations.filter(({ impact }) => impact === 'serious' || impact === 'critical')).toEqual([]);
    await page.getByRole('button', { name: 'Use the fitted model' }).click();
    await tried().waitFor({ state: 'detached' });
    expect(Number(await range.getAttribute('aria-valuenow'))).toBe(was);
    expect([opened.complaints, opened.strayed]).toEqual([[], []]);
  });
});
