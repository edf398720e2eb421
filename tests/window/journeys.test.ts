import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { SAMPLE_FOLDER } from '../synthetic/sample-season.ts';
import {
  figure,
  figureText,
  type OpenWindow,
  openSample,
  openStage,
  type Program,
  settled,
  sheetOf,
  startProgram,
} from './window-fixture.ts';

/** Folder of the sample's copy, and its wrong ticket: two digits of 16,240 lb swapped by the simulator. */
const FOLDER = 'alder-rise-2026';
/** What the sample season comes with: prices and costs. */
const OWN_SETTINGS = JSON.parse(readFileSync(join(SAMPLE_FOLDER, 'season.json'), 'utf8')).settings;
const WRONG = '20425';

// A step waits for whole builds, and other tests may have the machine's cores.
vi.setConfig({ testTimeout: 120_000 });

let program: Program;
let opened: OpenWindow;

beforeAll(async () => {
  program = await startProgram();
  opened = await program.open();
}, 120_000);

afterAll(async () => {
  await program.close();
});

/** One user's hour, in order: each step begins where the one before it ended. */
describe('an agronomist opens the sample', () => {
  it('sees two buttons on an empty library, and figures after one click', async () => {
    const { page } = opened;
    await page.getByRole('button', { name: 'New season' }).waitFor();
    await openSample(page);
    expect(await page.title()).toBe('Alder Rise 2026 · Sheaflight');
    expect(await figureText(page, 'yield')).toMatch(/^\d{3} \+ \d,\d{3} bu$/);
    expect(await figureText(page, 'loads')).toBe('21 of 22');
    await page.locator('.field-map canvas').first().waitFor();
    await page.getByText('Estimate, not legal for trade').first().waitFor();
  });

  it('finds the wrong ticket, and what is the matter with it', async () => {
    const { page } = opened;
    await openStage(page, 'loads');
    const evidence = page.getByRole('region', { name: 'Evidence: Loads' });
    expect(await evidence.locator('header').textContent()).toContain(`ticket ${WRONG} does not fit`);
    const why = evidence.locator('tr.why');
    await why.getByText(/Perhaps two digits swapped; 16240 lb instead of 12640 lb/).waitFor();
    expect(await page.getByLabel(`Use ticket ${WRONG} in the fit`).isChecked()).toBe(false);
  });

  it('uses it all the same: the change stands in the history, on the disk, and against what was before', async () => {
    const { page } = opened;
    const before = await figureText(page, 'yield');
    await page.getByLabel(`Use ticket ${WRONG} in the fit`).click();
    await page.getByText(`Ticket ${WRONG} used all the same:`).waitFor({ timeout: 40_000 });
    await settled(page);
    expect(await figureText(page, 'loads')).toBe('22 of 22');
    expect(await figureText(page, 'yield')).not.toBe(before);
    expect(sheetOf(program.home, FOLDER)).toMatchObject({
      settings: { calibration: { loads: [{ ticket: WRONG, use: true }] } },
    });
  });

  it('loses nothing by a reload in the middle', async () => {
    const { page } = opened;
    await page.reload();
    await figure(page, 'loads').filter({ hasText: '22 of 22' }).waitFor({ timeout: 40_000 });
    await page.getByRole('button', { name: 'History' }).click();
    await page
      .getByRole('button', { name: `Ticket ${WRONG} used all the same` })
      .first()
      .waitFor();
    await page.keyboard.press('Escape');
  });

  it('undoes it, and is where she was', async () => {
    const { page } = opened;
    await page.getByRole('button', { name: `Undo: Ticket ${WRONG} used all the same` }).click();
    await figure(page, 'loads').filter({ hasText: '21 of 22' }).waitFor({ timeout: 40_000 });
    expect(sheetOf(program.home, FOLDER).settings).toEqual(OWN_SETTINGS);
    await page.keyboard.press('Control+Shift+z');
    await figure(page, 'loads').filter({ hasText: '22 of 22' }).waitFor({ timeout: 40_000 });
    await page.keyboard.press('Control+z');
    await figure(page, 'loads').filter({ hasText: '21 of 22' }).waitFor({ timeout: 40_000 });
  });

  it('changes the units everywhere at once', async () => {
    const { page } = opened;
    await openStage(page, 'loads');
    await page.getByRole('button', { name: 'SI', exact: true }).click();
    expect(await figureText(page, 'ground')).toMatch(/ha$/);
    expect(await figureText(page, 'yield')).toMatch(/ t$/);
    await page.getByRole('columnheader', { name: 'scale, kg', exact: true }).first().waitFor();
    await page.getByRole('button', { name: 'US', exact: true }).click();
    expect(await figureText(page, 'ground')).toMatch(/ac$/);
  });

  it('switches a rule off and sees what it did; the total stays', async () => {
    const { page } = opened;
    await openStage(page, 'screened');
    const shown = async () => Number((await figureText(page, 'deliver')).replace(/\D/g, ''));
    const before = await shown();
    const total = await figureText(page, 'yield');
    await page.getByRole('checkbox', { name: 'Start or end of a pass' }).click();
    await page.getByText('Rule "ramp" switched off:').waitFor({ timeout: 40_000 });
    await settled(page);
    expect(await shown()).toBeGreaterThan(before);
    expect(await figureText(page, 'yield')).toBe(total);
    await page.getByRole('button', { name: 'Use the recommended set' }).click();
    await settled(page);
    await expect.poll(shown, { timeout: 40_000 }).toBe(before);
  });

  it('pulls the lag on its curve: the map shows what would change, and nothing is kept by that', async () => {
    const { page } = opened;
    await openStage(page, 'lag');
    const total = await figureText(page, 'lag');
    const line = page.getByRole('slider', { name: 'Lag in use, s' }).first();
    await line.focus();
    for (let press = 0; press < 3; press++) await page.keyboard.press('Shift+ArrowRight');
    await page.getByText('Not kept yet.').waitFor({ timeout: 40_000 });
    await page.getByText('Tried, not kept:').waitFor();
    await figure(page, 'lag').filter({ hasText: '15.4' }).waitFor({ timeout: 40_000 });
    expect(sheetOf(program.home, FOLDER).settings).toEqual(OWN_SETTINGS);
    await page.getByRole('button', { name: 'Leave as it was' }).first().click();
    expect(await figureText(page, 'lag')).toBe(total);
  });

  it('keeps what she has tried, as one named change, and undoes it', async () => {
    const { page } = opened;
    await page.getByText('Put grain that threshing mixed back').click();
    await page.getByText('Not kept yet.').waitFor({ timeout: 40_000 });
    await page.getByText(/noise between neighbouring points × \d/).waitFor();
    await page.getByRole('button', { name: 'Keep', exact: true }).first().click();
    await expect
      .poll(() => sheetOf(program.home, FOLDER).settings, { timeout: 20_000 })
      .toEqual({ ...OWN_SETTINGS, unsmear: { on: true } });
    await page.getByRole('button', { name: 'Undo: Unsmearing switched on' }).click();
    await expect.poll(() => sheetOf(program.home, FOLDER).settings).toEqual(OWN_SETTINGS);
    await settled(page);
  });

  it('moves the end of a load on the timeline: it does not fit any more; undone, it does', async () => {
    const { page } = opened;
    await openStage(page, 'loads');
    const end = page.getByRole('slider', { name: 'End of load 20417' });
    const place = await end.boundingBox();
    if (place === null) throw new Error('the load has no end to pull');
    await page.mouse.move(place.x + place.width / 2, place.y + place.height / 2);
    await page.mouse.down();
    await page.mouse.move(place.x - 40, place.y + place.height / 2, { steps: 4 });
    await page.mouse.up();
    await figure(page, 'loads').filter({ hasText: '20 of 22' }).waitFor({ timeout: 40_000 });
    expect(JSON.stringify(sheetOf(program.home, FOLDER).settings)).toContain('"ticket":"20417"');
    await settled(page);
    await page.keyboard.press('Control+z');
    await figure(page, 'loads').filter({ hasText: '21 of 22' }).waitFor({ timeout: 40_000 });
    await settled(page);
  });

  it('enters a lag by hand, and takes it back', async () => {
    const { page } = opened;
    await openStage(page, 'lag');
    const entry = page.getByLabel('Lag by hand').first();
    await entry.fill('20');
    await entry.press('Enter');
    await page.getByText(/^Lag of combine 1 set to 20.0 s in Brickyard:/).waitFor({ timeout: 40_000 });
    await page.getByRole('button', { name: 'Reset', exact: true }).first().click();
    await page
      .getByText(/^Lag of combine 1 found from the data again in Brickyard:/)
      .waitFor({ timeout: 40_000 });
    await settled(page);
  });
});

describe('a consultant delivers', () => {
  it('writes every field as GeoJSON, with a summary and a report', async () => {
    const { page } = opened;
    await openStage(page, 'deliver');
    const points = Number((await figureText(page, 'deliver')).replace(/\D/g, ''));
    await page.locator('summary', { hasText: 'The season’s own files' }).click();
    await page.getByRole('button', { name: 'Write all fields' }).click();
    await page.getByRole('link', { name: 'points.geojson' }).waitFor({ timeout: 40_000 });
    const { features } = JSON.parse(readFileSync(join(program.home, FOLDER, 'out/points.geojson'), 'utf8'));
    expect(features).toHaveLength(points);
    const fields = features.map(({ properties }: { properties: { field: string } }) => properties.field);
    expect([...new Set(fields)].sort()).toEqual(['Brickyard', 'Three Oaks']);
  });

  it('writes a folder for every field, and each file can be had from its link', async () => {
    const { page } = opened;
    await page.getByText('A folder for every field').click();
    await page.getByRole('button', { name: 'Write every field' }).click();
    const link = page.getByRole('link', { name: 'three-oaks-points.geojson' });
    await link.waitFor({ timeout: 40_000 });
    const [download] = await Promise.all([page.waitForEvent('download'), link.click()]);
    const { features } = JSON.parse(readFileSync(await download.path(), 'utf8'));
    const field = ({ properties }: { properties: { field: string } }) => properties.field;
    expect(new Set(features.map(field))).toEqual(new Set(['Three Oaks']));
    await page.getByText('Only Brickyard').click();
    await page.getByRole('button', { name: 'Write Brickyard' }).click();
    await link.waitFor({ state: 'detached' });
    await page.getByRole('link', { name: 'brickyard-points.geojson' }).waitFor();
  });
});

describe('through all of it', () => {
  it('no request leaves the machine, and the page complains of nothing', () => {
    expect(opened.strayed).toEqual([]);
    expect(opened.complaints).toEqual([]);
  });
});
