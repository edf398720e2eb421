import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { TOP } from '../structure/source-files.ts';
import {
  figure,
  figureText,
  type OpenWindow,
  openStage,
  type Program,
  settled,
  sheetOf,
  startProgram,
} from './window-fixture.ts';

const SAMPLES = join(TOP, 'sample-data');
const SAMPLE = join(
  SAMPLES,
  readdirSync(SAMPLES).find((name) => existsSync(join(SAMPLES, name, 'season.json'))) ?? '',
);

/** Files of the sample's folders, as they would lie on a stick. */
function stick(...folders: readonly string[]): string[] {
  return folders.flatMap((folder) =>
    readdirSync(join(SAMPLE, folder)).map((name) => join(SAMPLE, folder, name)),
  );
}

/** Pitch, width, depth and thickness as in the sample's own sheet; in millimetres, said so in a season of US units. */
async function enterPaddle(page: Page, machine: string, measures: readonly number[]): Promise<void> {
  const form = page.getByRole('form', { name: `Paddle of ${machine}` });
  for (const [i, measure] of measures.entries()) await form.locator('input').nth(i).fill(`${measure} mm`);
  await form.getByRole('button', { name: 'Keep the paddle' }).click();
  await form.waitFor({ state: 'detached' });
}

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

describe('a grower with a stick of files and nothing else', () => {
  it('makes a season, drops the files, measures the paddles, names a crop: there is a map', async () => {
    const { page } = opened;
    await page.getByRole('button', { name: 'New season' }).click();
    await page.getByLabel('Name').fill('Home farm 2026');
    await page.getByRole('button', { name: 'Create' }).click();
    await page.locator('input[type=file]').setInputFiles(stick('logs', 'boundaries'));
    const account = page.getByRole('region', { name: 'What came of the import' });
    await account.waitFor({ timeout: 60_000 });
    expect(await account.textContent()).toContain('c1 needs the measures of a paddle');
    await enterPaddle(page, 'combine 1', [203.2, 260, 150, 10]);
    await enterPaddle(page, 'combine 2', [190.5, 270, 145, 11]);
    await page.locator('summary', { hasText: 'Brickyard' }).click();
    await page.getByLabel('Crop of Brickyard').selectOption('soybean');
    await figure(page, 'ground').filter({ hasText: /\d/ }).waitFor({ timeout: 60_000 });
    await settled(page);
    expect(await figureText(page, 'loads')).toBe('none');
    await page.locator('.field-map canvas').first().waitFor();
    const sheet = sheetOf(program.home, 'home-farm-2026');
    expect(sheet).toMatchObject({ name: 'Home farm 2026' });
    expect(JSON.stringify(sheet.logs)).toContain('c1-brickyard.log.gz');
  });

  it('finds everything again after a reload in the middle', async () => {
    const { page } = opened;
    const ground = await figureText(page, 'ground');
    await page.reload();
    await figure(page, 'ground').filter({ hasText: /\d/ }).waitFor({ timeout: 60_000 });
    expect(await figureText(page, 'ground')).toBe(ground);
  });
});

describe('an agronomist with the tickets of that season', () => {
  it('drops them: the beam is weighed against the scale, and the wrong one is named', async () => {
    const { page } = opened;
    await openStage(page, 'logs');
    await page.locator('input[type=file]').setInputFiles(stick('tickets'));
    await figure(page, 'loads').filter({ hasText: '21 of 22' }).waitFor({ timeout: 60_000 });
    await settled(page);
    await openStage(page, 'loads');
    const evidence = page.getByRole('region', { name: 'Evidence: Loads' });
    expect(await evidence.locator('header').textContent()).toContain('ticket 20425 does not fit');
  });

  it('refits with it for a try, leaves that, and takes the tickets back and again', async () => {
    const { page } = opened;
    const total = await figureText(page, 'yield');
    await page.getByRole('button', { name: 'What if it were used?' }).first().click();
    await figure(page, 'loads').filter({ hasText: '22 of 22' }).waitFor({ timeout: 40_000 });
    expect(await figureText(page, 'yield')).not.toBe(total);
    await page.getByRole('button', { name: 'Leave as it was' }).first().click();
    expect(await figureText(page, 'loads')).toBe('21 of 22');
    expect(await figureText(page, 'yield')).toBe(total);
    expect(sheetOf(program.home, 'home-farm-2026')).not.toHaveProperty('settings');
    await page.keyboard.press('Control+z');
    await figure(page, 'loads').filter({ hasText: 'none' }).waitFor({ timeout: 40_000 });
    await page.keyboard.press('Control+Shift+z');
    await figure(page, 'loads').filter({ hasText: '21 of 22' }).waitFor({ timeout: 40_000 });
  });

  it('can take all of it back', async () => {
    const { page } = opened;
    await openStage(page, 'logs');
    await page.getByRole('button', { name: 'History' }).click();
    await page.getByRole('region', { name: 'History' }).getByRole('button').first().click();
    await expect.poll(() => sheetOf(program.home, 'home-farm-2026').logs, { timeout: 20_000 }).toEqual([]);
    await figure(page, 'yield').filter({ hasText: /^–$/ }).waitFor();
  });

  it('no request has left the machine, and the page complains of nothing', () => {
    expect(opened.strayed).toEqual([]);
    expect(opened.complaints).toEqual([]);
  });
});
