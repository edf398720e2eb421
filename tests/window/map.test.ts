import { readdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { plainPng, smallArchive } from './small-archive.ts';
import {
  figure,
  figureText,
  type OpenWindow,
  openSample,
  type Program,
  settled,
  startProgram,
} from './window-fixture.ts';

// A step waits for whole builds, and other tests may have the machine's cores.
vi.setConfig({ testTimeout: 120_000 });

let program: Program;
let opened: OpenWindow;
let page: Page;

beforeAll(async () => {
  program = await startProgram();
  opened = await program.open();
  page = opened.page;
  await openSample(page);
  await page.locator('.map-legend').waitFor({ timeout: 40_000 });
}, 120_000);

afterAll(async () => {
  await program.close();
});

/** A place of the map by shares of its sides, CSS pixels of the page. */
async function placeOnMap(x: number, y: number): Promise<{ x: number; y: number }> {
  const box = await page.locator('.map-place').boundingBox();
  if (!box) throw new Error('no map');
  return { x: box.x + x * box.width, y: box.y + y * box.height };
}

/** Colour that is on the screen at a place of the map. */
async function colourAt(x: number, y: number): Promise<number[]> {
  const place = await placeOnMap(x, y);
  const picture = await page.screenshot({ clip: { ...place, width: 1, height: 1 } });
  const colour = await page.evaluate(`(async () => {
    const image = new Image();
    image.src = 'data:image/png;base64,${picture.toString('base64')}';
    await image.decode();
    const pen = new OffscreenCanvas(1, 1).getContext('2d');
    pen.drawImage(image, 0, 0);
    return [...pen.getImageData(0, 0, 1, 1).data].slice(0, 3);
  })()`);
  return colour as number[];
}

const CENTRE = [0.62, 0.52] as const;
/** Of the map's panel, where no field is. */
const CORNER = [0.985, 0.5] as const;

describe('the map', () => {
  it('is drawn again after the graphics context was lost, and fits again when the window changes', async () => {
    await expect.poll(() => colourAt(...CENTRE), { timeout: 20_000 }).not.toEqual(await colourAt(...CORNER));
    const before = await colourAt(...CENTRE);
    await page.evaluate(`(async () => {
      const gl = document.querySelector('.map-place canvas').getContext('webgl2');
      const loss = gl.getExtension('WEBGL_lose_context');
      loss.loseContext();
      await new Promise((resolve) => setTimeout(resolve, 200));
      loss.restoreContext();
    })()`);
    await expect.poll(() => colourAt(...CENTRE), { timeout: 20_000 }).toEqual(before);
    const outline = page.locator('.field-outline');
    await page.setViewportSize({ width: 1024, height: 700 });
    await expect
      .poll(
        async () => {
          const [ring, map] = [await outline.boundingBox(), await page.locator('.map-place').boundingBox()];
          if (!ring || !map) return false;
          return (
            ring.x >= map.x &&
            ring.y >= map.y &&
            ring.x + ring.width <= map.x + map.width &&
            ring.y + ring.height <= map.y + map.height
          );
        },
        { timeout: 20_000 },
      )
      .toBe(true);
    await page.setViewportSize({ width: 1440, height: 900 });
  });

  it('has the field’s boundary changed on it: an island by clicks, kept as a new file, undone as one step', async () => {
    const ground = await figureText(page, 'ground');
    await page.getByRole('button', { name: /^Boundary/ }).click();
    await page.getByRole('button', { name: 'Island or piece' }).click();
    const area = page.locator('.boundary-area b');
    const whole = Number(await area.textContent());
    for (const [x, y] of [
      [0.58, 0.45],
      [0.66, 0.45],
      [0.66, 0.6],
      [0.58, 0.6],
    ]) {
      const place = await placeOnMap(x, y);
      await page.mouse.click(place.x, place.y);
      await page.waitForTimeout(350);
    }
    await page.keyboard.press('Enter');
    await expect.poll(async () => Number(await area.textContent())).toBeLessThan(whole - 0.3);
    await page.getByRole('button', { name: 'Keep boundary' }).click();
    await page.locator('.boundary-panel').waitFor({ state: 'detached' });
    await settled(page);
    await figure(page, 'ground').filter({ hasNotText: ground }).waitFor({ timeout: 40_000 });
    const season = readdirSync(program.home)[0];
    expect(readdirSync(join(program.home, season, 'boundaries'))).toEqual(
      expect.arrayContaining(['Brickyard drawn.geojson', 'brickyard.geojson']),
    );
    await page.getByText('Boundary of Brickyard changed on the map').first().waitFor();
    await page.keyboard.press('Control+z');
    await figure(page, 'ground').filter({ hasText: ground }).waitFor({ timeout: 40_000 });
  });

  it('refuses an outline that crosses itself, and is worked by keys alone', async () => {
    await page.getByRole('button', { name: /^Boundary/ }).focus();
    await page.keyboard.press('Enter');
    const corner = page.getByRole('button', { name: 'Corner 3 of ring 1' });
    await corner.focus();
    for (let i = 0; i < 45; i++) await page.keyboard.press('ArrowDown');
    await page.getByText(/crosses itself at 4\d\.\d{6}, -\d+\.\d{6}/).waitFor();
    expect(await page.getByRole('button', { name: 'Keep boundary' }).isDisabled()).toBe(true);
    await corner.focus();
    await page.keyboard.press('Delete');
    await expect.poll(() => page.getByText(/crosses itself/).count()).toBe(0);
    await page.getByRole('button', { name: 'Leave as it was' }).click();
    await page.locator('.boundary-panel').waitFor({ state: 'detached' });
  });
});

describe('all fields', () => {
  it('have a small map each in the table, and their names open them by keys', async () => {
    await page.keyboard.press('o');
    const maps = page.getByRole('img', { name: /^Map of / });
    expect(await maps.count()).toBe(2);
    const colours = async () =>
      (await page.evaluate(`[...document.querySelectorAll('.small-map')].map((canvas) => {
        const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
        return new Set(Array.from({ length: data.length / 4 }, (_, i) => data.slice(4 * i, 4 * i + 4).join())).size;
      })`)) as number[];
    await expect.poll(async () => Math.min(...(await colours())), { timeout: 20_000 }).toBeGreaterThan(20);
    await page.getByRole('button', { name: 'Three Oaks', exact: true }).focus();
    await page.keyboard.press('Enter');
    await page.locator('.map-legend').waitFor();
    await page.keyboard.press('o');
    await page.getByRole('button', { name: 'Brickyard', exact: true }).click();
    await page.locator('.map-legend').waitFor();
  });
});

describe('a base map', () => {
  it('is none at first; a file on this computer is shown with whom it is owed to, also after a reload', async () => {
    expect(opened.strayed).toEqual([]);
    const bare = await colourAt(...CORNER);
    const path = join(dirname(program.home), 'world.pmtiles');
    writeFileSync(
      path,
      smallArchive([200, 30, 30], '<a href="https://maps.example.org">Survey of Nowhere</a>'),
    );
    await page.getByRole('button', { name: 'Map under the fields' }).click();
    await page.getByLabel('A PMTiles file on this computer').check();
    await page.getByLabel('Whole path of the file').fill(`${path}.not`);
    await page.getByRole('button', { name: 'Use', exact: true }).click();
    await page.getByRole('alert').filter({ hasText: 'world.pmtiles.not' }).waitFor();
    await page.getByLabel('Whole path of the file').fill(path);
    await page.getByRole('button', { name: 'Use', exact: true }).click();
    await page.getByText('Survey of Nowhere').waitFor();
    const isRed = async () => {
      const [red, green] = await colourAt(...CORNER);
      return red - green > 90;
    };
    expect(bare[0] - bare[1]).toBeLessThan(20);
    await expect.poll(isRed, { timeout: 20_000 }).toBe(true);
    await page.reload();
    await page.getByText('Survey of Nowhere').waitFor({ timeout: 40_000 });
    await expect.poll(isRed, { timeout: 20_000 }).toBe(true);
    expect(opened.strayed).toEqual([]);
    expect(opened.complaints.filter((words) => !words.includes('422'))).toEqual([]);
  });

  it('from a server is asked of that one place and no other, which the page’s policy holds to', async () => {
    await page.context().route('https://tiles.example.org/**', (route) =>
      route.fulfill({
        body: plainPng([30, 30, 200], 256),
        contentType: 'image/png',
        headers: { 'access-control-allow-origin': '*' },
      }),
    );
    await page.getByRole('button', { name: 'Map under the fields' }).click();
    await page.getByLabel('A tile server, by its address').check();
    await page.getByLabel(/^Address/).fill('https://tiles.example.org/{z}/{x}/{y}.png');
    await page.getByText('that server learns where your fields are').waitFor();
    const loaded = page.waitForEvent('load');
    await page.getByRole('button', { name: 'Use', exact: true }).click();
    await loaded;
    await page.locator('.map-legend').waitFor({ timeout: 40_000 });
    await expect
      .poll(
        async () => {
          const [red, , blue] = await colourAt(...CORNER);
          return blue - red > 90;
        },
        { timeout: 20_000 },
      )
      .toBe(true);
    expect(new Set(opened.strayed.map((address) => new URL(address).origin))).toEqual(
      new Set(['https://tiles.example.org']),
    );
    const refused = await page.evaluate(() => fetch('https://other.example.org/').then(() => '', String));
    expect(refused).toMatch(/TypeError/);
    expect(opened.complaints.filter((words) => !/422|other\.example\.org/.test(words))).toEqual([]);
  });
});
