import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openSample, openStage, type Program, startProgram } from './window-fixture.ts';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const STAGES = ['logs', 'fill', 'flow', 'lag', 'ground', 'screened', 'loads', 'yield', 'surface', 'deliver'];

let program: Program;

beforeAll(async () => {
  program = await startProgram();
}, 120_000);

afterAll(async () => {
  await program.close();
});

interface Finding {
  readonly id: string;
  readonly impact: string;
  readonly nodes: readonly { readonly html: string }[];
}

describe('axe-core finds nothing serious', () => {
  it('on the home, any stage and the table of fields, in light and dark, at the smallest size', async () => {
    // The checker is a foreign script: for it alone the page's policy is lifted.
    const viewport = { width: 1024, height: 700 };
    const { page, close } = await program.open({ colorScheme: 'light', viewport, bypassCSP: true });
    const found: string[] = [];
    const check = async (where: string, how = '{}') => {
      const { violations } = (await page.evaluate(`axe.run(${how})`)) as { violations: readonly Finding[] };
      for (const { id, impact, nodes } of violations)
        if (impact === 'serious' || impact === 'critical')
          found.push(`${where}: ${id} ${nodes[0].html.slice(0, 120)}`);
    };
    await page.getByRole('button', { name: 'New season' }).waitFor();
    await page.addScriptTag({ content: AXE });
    await check('home');
    await openSample(page);
    for (const stage of STAGES) {
      await openStage(page, stage);
      await check(stage);
    }
    await openStage(page, 'lag');
    await page.getByRole('slider', { name: 'Lag in use, s' }).first().press('Shift+ArrowRight');
    await page.getByText('Not kept yet.').waitFor({ timeout: 40_000 });
    await check('lag, tried');
    await page.getByRole('button', { name: 'Leave as it was' }).first().click();
    await openStage(page, 'logs');
    await page.locator('summary', { hasText: 'combine 1' }).first().click();
    await check('logs, a machine');
    await page.keyboard.press('o');
    await check('all fields');
    // Another theme changes colours only.
    await page.getByRole('button', { name: 'Dark window' }).click();
    for (const stage of STAGES) {
      await openStage(page, stage);
      await check(`${stage}, dark`, '{ runOnly: ["color-contrast"] }');
    }
    expect(found).toEqual([]);
    await close();
  }, 120_000);
});

describe('keyboard', () => {
  it('reaches every stage, and everything in it, without a pointer', async () => {
    const { page, close } = await program.open();
    await page.getByRole('button', { name: 'Open the sample season' }).focus();
    await page.keyboard.press('Enter');
    await page.locator('[data-stage="yield"] .figure').filter({ hasText: /\d/ }).waitFor({ timeout: 40_000 });
    for (const [i, stage] of STAGES.entries()) {
      await page.keyboard.press(String((i + 1) % 10));
      expect(await page.locator(`[data-stage="${stage}"]`).getAttribute('aria-current')).toBe('true');
    }
    await page.keyboard.press('7');
    const ticket = page.getByLabel('Use ticket 20425 in the fit');
    await ticket.focus();
    await page.keyboard.press('Space');
    await page.getByText('Ticket 20425 used all the same:').waitFor({ timeout: 40_000 });
    await page.keyboard.press('Control+z');
    await expect.poll(() => ticket.isChecked(), { timeout: 40_000 }).toBe(false);
    await close();
  }, 120_000);
});
