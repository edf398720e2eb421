import { cpSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { programFolder } from '../../electron/host/program-version.ts';
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

const FOLDER = 'alder-rise-2026';
const MOVED = 'moved-times';

// A step waits for whole builds, and other tests may have the machine's cores.
vi.setConfig({ testTimeout: 120_000 });

let program: Program;
let opened: OpenWindow;

beforeAll(async () => {
  program = await startProgram();
  writeMovedSeason();
  opened = await program.open();
}, 120_000);

afterAll(async () => {
  await program.close();
});

const evidence = () => opened.page.locator('.evidence');
const kept = () => opened.page.getByRole('button', { name: 'Keep', exact: true }).first().click();
const calibrationOf = (folder: string) =>
  (sheetOf(program.home, folder) as { settings?: { calibration?: unknown } }).settings?.calibration;

describe('an agronomist defends a calibration', () => {
  it('sees each load’s errors against moisture, and the flows that no load covers on the map', async () => {
    const { page } = opened;
    await openSample(page);
    await openStage(page, 'loads');
    await evidence().getByText('two digits swapped?').first().waitFor();
    await evidence().getByText('Errors against flow').first().click();
    await evidence().getByLabel('moisture', { exact: true }).first().check();
    await evidence()
      .locator('figcaption', { hasText: /No trend with moisture beyond chance/ })
      .waitFor();
    await evidence().getByLabel('Residual, leverage and influence').first().check();
    await page.getByRole('columnheader', { name: 'leverage' }).first().waitFor();
    const soybean = evidence().locator('section', { hasText: 'Soybean, combine 1' });
    await soybean.getByText('Flows covered, and the next load').click();
    await soybean.locator('figcaption', { hasText: /^6 loads give totals to ± 0\.\d\d %: enough/ }).waitFor();
    await soybean.getByRole('button', { name: 'Show them on the map' }).click();
    await page
      .getByText(/points? selected|selected/)
      .first()
      .waitFor();
  });

  it('tries another curve, sees its price, and leaves it', async () => {
    const choice = evidence().locator('section', { hasText: 'Curve through the loads' });
    expect(await choice.locator('td', { hasText: '★' }).count()).toBe(3);
    await choice.getByLabel('One gain').check();
    await choice.getByText('Not kept yet.').waitFor({ timeout: 40_000 });
    await choice
      .getByText(/corn, combine 1: one gain misses an unseen load by 1\.\d\d %; gain that bends/)
      .waitFor();
    await choice.getByRole('button', { name: 'Leave as it was' }).click();
    expect(calibrationOf(FOLDER)).toBeUndefined();
  });

  it('makes machines agree, and takes it back', async () => {
    const { page } = opened;
    const machines = evidence().locator('section', { hasText: 'Machines side by side' });
    await machines.getByText(/Too little, or too uncertain, to change anything/).waitFor();
    await machines.getByRole('button', { name: 'Make combine 1 agree with combine 2' }).click();
    await machines.getByText('Not kept yet.').waitFor({ timeout: 40_000 });
    await kept();
    await expect.poll(() => calibrationOf(FOLDER)).toEqual({ agreements: [{ machine: 'c1', with: 'c2' }] });
    await settled(page);
    await machines.getByRole('button', { name: 'Leave them as they are' }).click();
    await expect.poll(() => calibrationOf(FOLDER)).toBeUndefined();
    await settled(page);
  });

  it('takes last season’s gain along, named as such', async () => {
    const soybean = evidence().locator('section', { hasText: 'Soybean, combine 1' });
    await soybean.getByText('Gain of last season').click();
    await soybean.getByLabel('Gain, scale over beam').fill('0.93');
    await soybean.getByLabel('From where').fill('2025');
    await soybean.getByRole('button', { name: 'Try it' }).click();
    await soybean.getByText('0.9300 ± 3.0 % (2025) counts as one load more.').waitFor({ timeout: 40_000 });
    await soybean.getByRole('button', { name: 'Leave as it was' }).click();
    expect(calibrationOf(FOLDER)).toBeUndefined();
  });

  it('writes the load report and opens it', async () => {
    const { page } = opened;
    await evidence().getByRole('button', { name: 'Write the load report' }).click();
    const link = evidence().getByRole('link', { name: 'Open it, to print' });
    await link.waitFor({ timeout: 40_000 });
    const [report] = await Promise.all([page.waitForEvent('popup'), link.click()]);
    await report.getByText('What it cannot').first().waitFor();
    await report.close();
  });

  it('settles a field at its tickets’ total: both numbers stand, and how far it moved', async () => {
    const { page } = opened;
    await openStage(page, 'yield');
    await evidence()
      .getByText(/^\d{3}–\d{3} bu$/)
      .waitFor();
    await evidence().getByLabel('Total on certified tickets, bu').fill('998');
    await evidence().getByRole('button', { name: 'Try it' }).click();
    await evidence().getByText('Not kept yet.').waitFor({ timeout: 40_000 });
    await kept();
    await figure(page, 'yield').filter({ hasText: '998' }).waitFor({ timeout: 40_000 });
    await settled(page);
    await evidence().getByText('Moved by').waitFor();
    expect(await evidence().locator('.pairs', { hasText: 'Moved by' }).textContent()).toMatch(
      /By the loads9\d\d buSettled998 buMoved by\+1\.\d\d %/,
    );
    await evidence().getByRole('button', { name: 'Go back to the loads’ total' }).click();
    await expect.poll(() => calibrationOf(FOLDER)).toBeUndefined();
    await settled(page);
  });
});

describe('tickets with their clock ten hours off', () => {
  it('get their times from the log: taken over at once, every load fits but the wrong ones', async () => {
    expect(opened.complaints).toEqual([]);
    await opened.close();
    opened = await program.open();
    const { page } = opened;
    await page
      .getByRole('button', { name: /Moved times/ })
      .first()
      .click();
    await figure(page, 'loads').filter({ hasText: 'none' }).waitFor({ timeout: 40_000 });
    await openStage(page, 'loads');
    await evidence()
      .getByText(/with \+10 h added they fall on running time/)
      .first()
      .waitFor();
    await evidence().getByRole('button', { name: 'Take over all 22' }).click();
    await evidence().getByText('Not kept yet.').waitFor({ timeout: 40_000 });
    await kept();
    await settled(page);
    await expect.poll(() => figureText(page, 'loads'), { timeout: 40_000 }).toBe('19 of 22');
    await expect
      .poll(() => JSON.stringify(calibrationOf(MOVED)), { timeout: 40_000 })
      .toContain('"start_utc":"2026-09-28T17:10:00');
  });

  it('were exchanged, two of them: exchanged back, both fit', async () => {
    const { page } = opened;
    await evidence().getByRole('button', { name: 'Exchange it with 20422' }).click();
    await evidence().getByText('Not kept yet.').waitFor({ timeout: 40_000 });
    await kept();
    await settled(page);
    await expect.poll(() => figureText(page, 'loads'), { timeout: 40_000 }).toBe('21 of 22');
    await page.getByRole('button', { name: 'Undo: Tickets 20418 and 20422 exchanged' }).waitFor();
  });

  it('complains of nothing', () => {
    expect(opened.strayed).toEqual([]);
    expect(opened.complaints).toEqual([]);
  });
});

/** The sample with all tickets' times ten hours too early, and two weights exchanged, in the library before the window opens. */
function writeMovedSeason(): void {
  const folder = join(program.home, MOVED);
  const sample = join(programFolder(), 'sample-data', FOLDER);
  for (const part of ['boundaries', 'logs', 'tickets', 'season.json'])
    cpSync(join(sample, part), join(folder, part), { recursive: true });
  const sheet = join(folder, 'season.json');
  writeFileSync(sheet, readFileSync(sheet, 'utf8').replace('Alder Rise 2026', 'Moved times'));
  const tickets = join(folder, 'tickets', 'tickets.csv');
  const tenEarlier = (_: string, hour: string) => `T${String(Number(hour) - 10).padStart(2, '0')}:`;
  const rows = readFileSync(tickets, 'utf8')
    .replace(/T(\d\d):/g, tenEarlier)
    .split('\n');
  const [first, second] = ['20418,', '20422,'].map((start) => rows.findIndex((row) => row.startsWith(start)));
  const placesOf = (row: string) => row.split(',').slice(0, 5);
  const weightsOf = (row: string) => row.split(',').slice(5);
  const [one, other] = [rows[first], rows[second]];
  rows[first] = [...placesOf(one), ...weightsOf(other)].join(',');
  rows[second] = [...placesOf(other), ...weightsOf(one)].join(',');
  writeFileSync(tickets, rows.join('\n'));
}
