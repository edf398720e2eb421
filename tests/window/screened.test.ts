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

let program: Program;
let opened: OpenWindow;

beforeAll(async () => {
  program = await startProgram();
  opened = await program.open();
  await openSample(opened.page);
  await openStage(opened.page, 'screened');
}, 120_000);

afterAll(() => program.close());

const exclusions = () =>
  (sheetOf(program.home, 'alder-rise-2026') as { settings?: { exclusions?: unknown[] } }).settings
    ?.exclusions ?? [];

async function placeOnMap(x: number, y: number) {
  const box = await opened.page.locator('.map-place').boundingBox();
  if (box === null) throw new Error('no map');
  return { x: box.x + x * box.width, y: box.y + y * box.height };
}

describe('points left out by hand', () => {
  it('are told before they go, leave the map by a line around them, and come back', async () => {
    const { page } = opened;
    await page.getByRole('button', { name: /^Lasso/ }).click();
    const corners: [number, number][] = [
      [0.45, 0.45],
      [0.55, 0.45],
      [0.55, 0.55],
      [0.45, 0.55],
    ];
    const first = await placeOnMap(...corners[0]);
    await page.mouse.move(first.x, first.y);
    await page.mouse.down();
    for (const corner of [...corners.slice(1), corners[0]]) {
      const place = await placeOnMap(...corner);
      await page.mouse.move(place.x, place.y, { steps: 5 });
    }
    await page.mouse.up();
    const offer = page.locator('.panel .row', { hasText: 'Selected: the ground inside the line drawn' });
    await offer.waitFor();
    const told = Number(
      /([\d,]+) points of the map/.exec((await offer.textContent()) ?? '')?.[1].replace(',', ''),
    );
    expect(told).toBeGreaterThan(50);
    await offer.getByRole('button', { name: 'Leave out' }).click();
    const item = page.locator('.left-out li', { hasText: 'Ground inside a line' });
    await item.waitFor({ timeout: 40_000 });
    await settled(page);
    const rule = page.locator('.rule', { has: page.getByRole('checkbox', { name: 'Left out by hand' }) });
    await expect
      .poll(
        async () => Number((await rule.locator('.line > span').first().textContent())?.replace(',', '')),
        {
          timeout: 40_000,
        },
      )
      .toBeGreaterThanOrEqual(told);
    expect(exclusions()).toHaveLength(1);
    await item.getByRole('button', { name: 'Take in again' }).click();
    await item.waitFor({ state: 'detached', timeout: 40_000 });
    await settled(page);
    expect(exclusions()).toEqual([]);
    expect(opened.complaints).toEqual([]);
  });

  it('are a pass of a machine by its time where one was chosen', async () => {
    const { page } = opened;
    await page.getByRole('button', { name: /^Pass/ }).click();
    const place = await placeOnMap(0.5, 0.4);
    await page.mouse.click(place.x, place.y);
    const offer = page.locator('.panel .row', {
      hasText: /Selected: what combine \d cut in one stretch of time/,
    });
    await offer.waitFor({ timeout: 20_000 });
    await offer.getByRole('button', { name: 'Leave out' }).click();
    await page
      .locator('.left-out li', { hasText: /What was cut by combine \d in / })
      .waitFor({ timeout: 40_000 });
    await settled(page);
    expect(exclusions()).toMatchObject([
      { machine: expect.any(String), from: expect.any(String), to: expect.any(String) },
    ]);
  });
});
