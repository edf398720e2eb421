import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { FAULTS } from '../synthetic/session-faults.ts';
import { openSample, openStage, type Program, startProgram } from './window-fixture.ts';

vi.setConfig({ testTimeout: 60_000 });

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const SMALL = { width: 1024, height: 700 };
let program: Program;

beforeAll(async () => {
  program = await startProgram();
}, 120_000);

afterAll(() => program.close());

/** Violations of any weight, each with where it is. */
async function violations(page: Page, how = '{}'): Promise<string[]> {
  const { violations: found } = (await page.evaluate(`axe.run(${how})`)) as {
    violations: readonly { id: string; nodes: readonly { html: string }[] }[];
  };
  return found.map(({ id, nodes }) => `${id}: ${nodes[0].html.slice(0, 160)}`);
}

async function typeColumn(page: Page): Promise<void> {
  await page.getByLabel('Depth of the column').fill('3.5');
  await page.getByLabel('Width of the column').fill('6 in');
  await page.getByLabel('From one paddle to the next').fill('203.2 mm');
  await page.getByLabel('Thickness of a paddle').fill('3/8');
}

/** What stands in the frame that is printed. */
function printed(page: Page) {
  return page.frameLocator('iframe.print-frame').locator('main.sheet');
}

describe('before the first acre, with no season at all', () => {
  it('says where to mark and drill while measures are typed, and prints it, by keyboard alone', async () => {
    const { page, complaints, close } = await program.open({ viewport: SMALL });
    await page.getByRole('button', { name: 'Before the first acre' }).focus();
    await page.keyboard.press('Enter');
    const found = page.getByRole('region', { name: 'The marks' });
    await found.getByText(/as soon as these are given: depth of the column, width/).waitFor();
    await typeColumn(page);
    const marks = page.getByRole('region', { name: 'Marks' });
    await marks.getByText('62 in', { exact: true }).first().waitFor();
    expect(await marks.locator('.fit-marks b').allTextContents()).toEqual([
      '62 in',
      '1 3/4 in',
      '5/32 in',
      '3/4 in',
    ]);
    // every step has its cautions before what is done
    const steps = marks.locator('.fit-steps > li');
    expect(await steps.count()).toBe(7);
    expect(await steps.locator('h3 + p.fit-caution').count()).toBe(7);
    expect(await marks.locator('svg.scaled').count()).toBe(2);
    await page.getByLabel('Outer side, reached up to').fill('4 ft 2 in');
    await marks.getByText('50 in', { exact: true }).first().waitFor();
    await page.getByRole('button', { name: 'SI', exact: true }).click();
    await marks.getByText('1270 mm', { exact: true }).first().waitFor();
    expect(await page.getByLabel('Depth of the column').inputValue()).toBe('3.5 in');

    const print = page.getByRole('button', { name: 'Print worksheet and template' });
    await print.focus();
    await page.keyboard.press('Enter');
    await printed(page).getByText('Placement worksheet').waitFor();
    // the template's rule is 150 mm long, at 96 pixels an inch
    const rule = await printed(page).locator('.true-scale .rule').boundingBox();
    expect(Math.abs((rule?.width ?? 0) / ((150 / 25.4) * 96) - 1)).toBeLessThan(0.005);
    const saved = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Save as a file' }).click();
    expect((await saved).suggestedFilename()).toBe('placement.html');

    await page.getByLabel('Depth of the column').fill('3.5 mm');
    await page.getByText(/depth of the column is given as 3.5 mm/).waitFor();
    expect(complaints).toEqual([]);
    await close();
  });

  it('judges a log, and says what to mend first', async () => {
    const { page, complaints, close } = await program.open({ viewport: SMALL });
    const first = FAULTS.find(({ name }) => name === 'connector opens')?.make(3);
    if (first === undefined) throw new Error('no such fault');
    await page.getByRole('button', { name: 'Before the first acre' }).click();
    await page.getByRole('button', { name: 'Beam check' }).click();
    await page.getByLabel('From one paddle to the next').fill(`${first.sheet.paddle.pitch_mm} mm`);
    await page.getByLabel('Thickness of a paddle').fill(`${first.sheet.paddle.thickness_mm} mm`);
    const log = { name: 'first.log', mimeType: 'text/plain', buffer: Buffer.from(first.bytes) };
    await page.locator('input[type="file"]').setInputFiles(log);
    await page.getByText(/^■ Mend before the first acre:/).waitFor();
    const marks = await page.locator('.fit-finding h3 .state-mark').allTextContents();
    const rank = marks.map((mark) => '■▲●'.indexOf(mark));
    expect(rank).toEqual([...rank].sort());
    expect(await page.locator('.fit-causes li').first().textContent()).toContain('loose connector');
    expect(await page.locator('.fit-finding svg').count()).toBeGreaterThan(3);
    await page.getByRole('button', { name: 'Print the commissioning record' }).click();
    await printed(page).getByText('Commissioning record').waitFor();
    expect(complaints).toEqual([]);
    await close();
  });
});

describe('before the first acre, from a season', () => {
  it('takes a machine’s measures, keeps its sheet, judges a log of the season; nothing for axe to find', async () => {
    const { page, complaints, close } = await program.open({ viewport: SMALL, bypassCSP: true });
    await page.addScriptTag({ content: AXE });
    await openSample(page);
    await openStage(page, 'fill');
    await page.getByRole('region', { name: 'Sensor day by day' }).getByRole('row').nth(1).waitFor();
    await openStage(page, 'logs');
    await page.locator('summary', { hasText: 'combine 1' }).first().click();
    await page.getByRole('button', { name: 'Before the first acre: placement' }).first().click();
    expect(await page.getByLabel('From one paddle to the next').inputValue()).toMatch(/^[\d.]+ in$/);
    await page.getByLabel('Depth of the column').fill('6 in');
    await page.getByLabel('Width of the column').fill('11 in');
    expect(await violations(page)).toEqual([]);
    await page.getByRole('button', { name: 'Keep in the season' }).click();
    const kept = await page.getByRole('link', { name: /^out\/placement-/ }).textContent();
    expect(readFileSync(join(program.home, 'alder-rise-2026', kept ?? ''), 'utf8')).toContain(
      'Drilling template',
    );

    await page.getByRole('button', { name: 'Beam check' }).click();
    await page.getByLabel('Or one of the season’s').selectOption({ index: 1 });
    await page.locator('.fit-verdict').waitFor({ timeout: 30_000 });
    expect(await violations(page)).toEqual([]);
    await page.getByRole('button', { name: 'Dark window' }).click();
    expect(await violations(page, '{ runOnly: ["color-contrast"] }')).toEqual([]);
    await page.getByRole('button', { name: 'Keep in the season' }).click();
    await page.getByRole('link', { name: /^out\/beam-check-/ }).waitFor();
    await page.getByRole('button', { name: /^Back to / }).click();
    await page.locator('[data-stage="logs"]').waitFor();
    expect(complaints).toEqual([]);
    await close();
  });
});
