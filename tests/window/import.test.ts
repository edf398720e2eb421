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

/** Every file of the sample, as it would lie on a grower's stick. */
function stick(): string[] {
  return ['logs', 'tickets', 'boundaries'].flatMap((folder) =>
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
    await page.locator('input[type=file]').setInputFiles(stick());
    const account = page.getByRole('region', { name: 'What came of the import' });
    await account.waitFor({ timeout: 60_000 });
    expect(await account.textContent()).toContain('c1 needs the measures of a paddle');
    await enterPaddle(page, 'c1', [203.2, 260, 150, 10]);
    await enterPaddle(page, 'c2', [190.5, 270, 145, 11]);
    await page.locator('summary', { hasText: 'Brickyard' }).click();
    await page.getByLabel('Crop of Brickyard').selectOption('soybean');
    await figure(page, 'ground').filter({ hasText: /\d/ }).waitFor({ timeout: 60_000 });
    await settled(page);
    expect(await figureText(page, 'loads')).toBe('21 of 22');
    await page.locator('.field-map canvas').first().waitFor();
    const sheet = sheetOf(program.home, 'home-farm-2026');
    expect(sheet).toMatchObject({ name: 'Home farm 2026' });
    expect(JSON.stringify(sheet.logs)).toContain('c1-brickyard.log.gz');
  });

  it('finds everything again after a reload, and can take the import back', async () => {
    const { page } = opened;
    const ground = await figureText(page, 'ground');
    await page.reload();
    await figure(page, 'ground').filter({ hasText: /\d/ }).waitFor({ timeout: 60_000 });
    expect(await figureText(page, 'ground')).toBe(ground);
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
