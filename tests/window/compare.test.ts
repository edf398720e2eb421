import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import {
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
const FOLDER = 'alder-rise-2026';

interface Sheet {
  readonly comparisons: readonly {
    name: string;
    strips: readonly { treatment: string; rings: number[][][] }[];
  }[];
  readonly settings: { readonly margin: { readonly prices: readonly Record<string, unknown>[] } };
}

let program: Program;
let opened: OpenWindow;

beforeAll(async () => {
  program = await startProgram();
  // The checker of accessibility is a foreign script: for it alone the page's policy is lifted.
  opened = await program.open({ bypassCSP: true, viewport: { width: 1280, height: 800 } });
  await openSample(opened.page);
  await opened.page.addScriptTag({ content: AXE });
}, 120_000);

afterAll(() => program.close());

const sheet = () => sheetOf(program.home, FOLDER) as unknown as Sheet;
const finding = (page: Page) => page.locator('.panel > header > p');

async function turnTo(page: Page, name: string): Promise<void> {
  await page.getByRole('navigation', { name: 'Yield' }).getByRole('button', { name }).click();
}

async function faults(page: Page, how = '{}'): Promise<string[]> {
  const { violations } = (await page.evaluate(`axe.run(${how})`)) as {
    violations: readonly { id: string; impact: string; nodes: readonly { html: string }[] }[];
  };
  return violations
    .filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .map(({ id, nodes }) => `${id} ${nodes[0].html.slice(0, 120)}`);
}

describe('comparisons in the window', () => {
  it('tell of the sample’s strips: chart, sentence, differences, power, and what does not count', async () => {
    const { page } = opened;
    await turnTo(page, 'Strips');
    await finding(page)
      .filter({ hasText: /^Sprayed outyielded not sprayed by \d\.\d ± \d\.\d bu\/ac/ })
      .waitFor({ timeout: 40_000 });
    await page.getByText(/You would see, in 80 of 100 such trials/).waitFor();
    await page.getByText(/points in the strips do not count: .* near an end/).waitFor();
    expect(await page.locator('.strips-on-map .strip').count()).toBe(12);
    expect(await page.locator('table.strips tbody tr').count()).toBe(12);
    expect(await faults(page)).toEqual([]);
    await page.getByRole('button', { name: 'SI', exact: true }).click();
    await finding(page)
      .filter({ hasText: /by 0\.\d\d ± 0\.\d\d t\/ha/ })
      .waitFor({ timeout: 40_000 });
    await page.getByRole('button', { name: 'US', exact: true }).click();
    await settled(page);
  });

  it('are drawn with the pointer and with keys, named, kept, and undone', async () => {
    const { page } = opened;
    await page.getByRole('button', { name: 'Draw strips on the map' }).click();
    const panel = page.getByRole('region', { name: 'Strips on the map' });
    await panel.getByText('0 strips').waitFor();
    const keep = page.getByRole('button', { name: 'Keep and compare' });
    expect(await keep.isDisabled()).toBe(true);
    const box = await page.locator('.map-place').boundingBox();
    if (box === null) throw new Error('the map has no place');
    const corners = [
      [0.47, 0.45],
      [0.78, 0.42],
      [0.78, 0.49],
      [0.47, 0.52],
      [0.47, 0.45],
    ];
    for (const [x, y] of corners) {
      await page.mouse.click(box.x + x * box.width, box.y + y * box.height);
      // nearer in time than this, two clicks are a double click
      await page.waitForTimeout(350);
    }
    await panel.getByText('1 strip', { exact: true }).waitFor();
    // the second by keys alone
    await panel.getByRole('button', { name: 'Draw another' }).focus();
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: /^Cross for corners/ }).focus();
    const press = async (key: string, times: number) => {
      for (let k = 0; k < times; k++) await page.keyboard.press(key);
      await page.keyboard.press('Space');
    };
    await press('ArrowDown', 4);
    await press('ArrowRight', 12);
    await press('ArrowDown', 3);
    await press('ArrowLeft', 12);
    await page.keyboard.press('Enter');
    await panel.getByText('2 strips').waitFor();
    const second = page.getByRole('button', { name: 'Corner 1 of strip 2' });
    const was = await second.getAttribute('cx');
    await second.focus();
    await page.keyboard.press('ArrowLeft');
    await expect.poll(() => second.getAttribute('cx')).not.toBe(was);
    await page.keyboard.press('Control+z');
    await expect.poll(() => second.getAttribute('cx')).toBe(was);
    // one beside it is deleted again
    await panel.getByRole('button', { name: 'Add one beside it' }).click();
    await page.getByRole('button', { name: 'Delete strip 3' }).click();
    await panel.getByText('2 strips').waitFor();
    await page.getByLabel('Treatment of strip 1').fill('early');
    await page.getByLabel('Treatment of strip 2').fill('');
    await page.getByText('Name what was done in strip 2.').waitFor();
    await page.getByLabel('Treatment of strip 2').fill('late');
    await page.getByLabel('Comparison', { exact: true }).fill('Sowing');
    expect(await faults(page)).toEqual([]);
    await keep.click();
    await finding(page)
      .filter({ hasText: /early.*late|late.*early/i })
      .waitFor({ timeout: 40_000 });
    await page.getByText(/A treatment with one strip has nothing to judge its scatter by/).waitFor();
    const [, made] = sheet().comparisons;
    expect(made.name).toBe('Sowing');
    expect(made.strips.map(({ treatment, rings }) => [treatment, rings[0].length])).toEqual([
      ['early', 4],
      ['late', 4],
    ]);
    await settled(page);
    await page.locator('.evidence').focus();
    await page.keyboard.press('Control+z');
    await expect.poll(() => sheet().comparisons.length).toBe(1);
    await finding(page)
      .filter({ hasText: /^Sprayed/ })
      .waitFor({ timeout: 40_000 });
    await settled(page);
  });

  it('come from a file of treatments, by the property that is chosen', async () => {
    const { page } = opened;
    const strips = sheet().comparisons[0].strips;
    const features = strips.map(({ treatment, rings: [ring] }, k) => ({
      type: 'Feature',
      properties: { id: k + 1, spray: treatment },
      geometry: { type: 'Polygon', coordinates: [[...ring, ring[0]]] },
    }));
    const text = JSON.stringify({ type: 'FeatureCollection', features });
    const buffer = Buffer.from(text);
    await page
      .getByLabel('Treatment file')
      .setInputFiles({ name: 'spray.geojson', mimeType: 'application/geo+json', buffer });
    await page.getByText('spray.geojson: 12 polygons.').waitFor();
    expect(await page.getByLabel('Treatment', { exact: true }).inputValue()).toBe('spray');
    await page.getByRole('button', { name: 'Keep and compare' }).click();
    await page.getByRole('radio', { name: 'spray' }).waitFor({ timeout: 40_000 });
    await finding(page)
      .filter({ hasText: /^Sprayed outyielded not sprayed/ })
      .waitFor({ timeout: 40_000 });
    // the file's polygons are on the map, too
    await expect.poll(() => page.locator('.strips-on-map .strip').count()).toBe(12);
    await page.getByRole('button', { name: 'Remove spray' }).click();
    await expect.poll(() => sheet().comparisons.length).toBe(1);
    await settled(page);
    const empty = Buffer.from('{"type":"FeatureCollection","features":[]}');
    await page
      .getByLabel('Treatment file')
      .setInputFiles({ name: 'empty.geojson', mimeType: 'application/geo+json', buffer: empty });
    await page.getByRole('alert').filter({ hasText: 'empty.geojson' }).waitFor();
  });
});

describe('what was cut when', () => {
  it('is compared by times that are chosen on the timeline', async () => {
    const { page } = opened;
    await page.getByRole('button', { name: 'By when it was cut' }).click();
    const lane = await page.locator('.timeline-place canvas').first().boundingBox();
    if (lane === null) throw new Error('the timeline has no place');
    const take = page.getByRole('button', { name: 'Take the time chosen on the timeline' });
    expect(await take.isDisabled()).toBe(true);
    for (const [k, [from, to]] of [
      [0.05, 0.3],
      [0.35, 0.6],
    ].entries()) {
      const y = lane.y + lane.height / 2;
      await page.mouse.move(lane.x + from * lane.width, y);
      await page.mouse.down();
      await page.mouse.move(lane.x + to * lane.width, y, { steps: 4 });
      await page.mouse.up();
      await take.click();
      await page.getByLabel('Treatment', { exact: true }).nth(k).fill(['early', 'late'][k]);
    }
    await page.getByRole('button', { name: 'Keep and compare' }).click();
    await page.getByRole('radio', { name: 'Times 2' }).waitFor({ timeout: 40_000 });
    await finding(page)
      .filter({ hasText: /early.*late|late.*early/i })
      .waitFor({ timeout: 40_000 });
    await page.getByRole('button', { name: 'Remove Times 2' }).click();
    await expect.poll(() => sheet().comparisons.length).toBe(1);
    await settled(page);
  });
});

describe('totals and margins', () => {
  it('are one table with a switch that is sorted by keys, and written as CSV', async () => {
    const { page } = opened;
    await turnTo(page, 'Totals');
    await page.getByRole('radio', { name: 'Load' }).check();
    const heading = page
      .locator('table.totals')
      .first()
      .getByRole('button', { name: /^Yield/ });
    await heading.focus();
    await page.keyboard.press('Enter');
    expect(await page.locator('th[aria-sort="descending"]').first().textContent()).toContain('Yield');
    const yields = await page
      .locator('table.totals')
      .first()
      .locator('tr.group td:nth-child(4)')
      .allTextContents();
    expect(yields.length).toBeGreaterThan(3);
    expect(yields).toEqual([...yields].sort((a, b) => Number(b) - Number(a)));
    expect(await faults(page)).toEqual([]);
    await page.getByRole('button', { name: 'Write all tables as CSV' }).click();
    await page
      .getByRole('link', { name: /\.csv$/ })
      .first()
      .waitFor();
    expect(existsSync(join(program.home, FOLDER, 'out', 'comparison.json'))).toBe(true);
  });

  it('follow prices and costs that are changed in place', async () => {
    const { page } = opened;
    await turnTo(page, 'Margin');
    await finding(page)
      .filter({ hasText: /^\d+ \$\/ac are left after costs/ })
      .waitFor({ timeout: 40_000 });
    const before = await finding(page).textContent();
    await page.getByLabel('Price', { exact: true }).fill('12');
    await page.keyboard.press('Enter');
    await expect.poll(() => finding(page).textContent(), { timeout: 40_000 }).not.toBe(before);
    expect(sheet().settings.margin.prices[0]).toMatchObject({ price_per_bu: 12 });
    await page.getByRole('radio', { name: /^Buyer’s policy/ }).click();
    await page.getByText('Policy shrink, of the wet grain').waitFor({ timeout: 40_000 });
    expect(await faults(page)).toEqual([]);
    await page.getByLabel('Price', { exact: true }).fill('');
    await page.keyboard.press('Enter');
    await finding(page)
      .filter({ hasText: /^There is no price of soybean yet/ })
      .waitFor({ timeout: 40_000 });
    expect(await page.getByLabel('Hauling', { exact: true }).isDisabled()).toBe(true);
    expect(sheet().settings.margin.prices).toHaveLength(1);
    await settled(page);
  });
});

describe('reports in Deliver', () => {
  it('are made and looked at in the map’s place, in a frame in which nothing runs', async () => {
    const { page, close } = await program.open();
    await page.getByRole('button', { name: 'Open the sample season' }).click();
    await page.locator('[data-stage="yield"] .figure').filter({ hasText: /\d/ }).waitFor({ timeout: 40_000 });
    await openStage(page, 'deliver');
    await page.getByRole('radio', { name: 'Brickyard, the field on the map' }).check();
    await page.getByText(/^US units, Letter, maps of the/).click();
    await page.getByRole('radio', { name: /^Swaths: what was cut, as/ }).check();
    await page.getByRole('button', { name: 'Make the report' }).click();
    const made = page.getByRole('status', { name: 'Reports made' });
    await made.waitFor({ timeout: 60_000 });
    expect(await made.getByRole('link').allTextContents()).toEqual([
      'brickyard-report.html',
      'brickyard-report.pdf',
    ]);
    const frame = page.frameLocator('iframe[title="Report brickyard-report.html"]');
    await frame.getByRole('heading', { name: 'Brickyard', exact: true }).waitFor();
    await page.getByRole('button', { name: 'Back to the map' }).click();
    await page.locator('.map-place').waitFor();
    await made.getByRole('button', { name: 'Show' }).click();
    await frame.getByRole('heading', { name: 'Brickyard', exact: true }).waitFor();
    // another stage has its map
    await openStage(page, 'yield');
    await page.locator('.map-place').waitFor();
    await close();
    const { page: checked } = opened;
    await openStage(checked, 'deliver');
    expect(await faults(checked)).toEqual([]);
    await checked.getByRole('button', { name: 'Dark window' }).click();
    for (const name of ['Strips', 'Margin']) {
      await openStage(checked, 'yield');
      await turnTo(checked, name);
      expect(await faults(checked, '{ runOnly: ["color-contrast"] }')).toEqual([]);
    }
    expect([opened.complaints.filter((text) => !text.includes('422')), opened.strayed]).toEqual([[], []]);
  });
});
