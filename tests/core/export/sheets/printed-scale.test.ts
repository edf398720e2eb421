import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { checkSheet } from '../../../../core/export/sheets/check-sheet.ts';
import { placementSheet } from '../../../../core/export/sheets/placement-sheet.ts';
import { type PlacementSheet, placementOf } from '../../../../core/install/placement.ts';
import { checkCase } from '../../../synthetic/beam-check-score.ts';
import { FAULTS } from '../../../synthetic/session-faults.ts';
import { soundFirstLog } from '../../../synthetic/sound-session.ts';
import { launchChromium } from '../../../window/chromium.ts';
import { type PdfLine, pdfLines, pdfPages } from './pdf-lines.ts';

const MM = 72 / 25.4;
/** Stroke of the template's rule, #a0005a; nothing else on the sheet has it. */
const RULE = [160 / 255, 0, 90 / 255] as const;

let browser: Browser;

beforeAll(async () => {
  browser = await launchChromium();
}, 30_000);
afterAll(() => browser.close());

async function printed(text: string): Promise<Uint8Array> {
  const page = await browser.newPage();
  await page.setContent(text);
  const pdf = await page.pdf({ preferCSSPageSize: true });
  await page.close();
  return pdf;
}

function length_mm({ x0, y0, x1, y1 }: PdfLine): number {
  return Math.hypot(x1 - x0, y1 - y0) / MM;
}

const isRule = ({ rgb }: PdfLine) => rgb.every((part, k) => Math.abs(part - RULE[k]) < 0.003);

function sheet(column_depth_mm: number): PlacementSheet {
  return {
    column_depth_mm,
    column_width_mm: 152.4,
    paddle: { pitch_mm: 203.2, width_mm: 140, depth_mm: column_depth_mm - 8, thickness_mm: 10 },
    reach_inside_mm: null,
  };
}

describe('the template on paper', () => {
  it.each([
    ['letter', 88.9],
    ['a4', 88.9],
    ['letter', 200],
    ['a4', 240],
  ] as const)(
    'on %s is true to half a percent for a column of %d mm',
    async (paper, depth_mm) => {
      const given = sheet(depth_mm);
      const placed = placementOf(given);
      if (!placed.ok) throw new Error(placed.error.text);
      const lines = pdfLines(
        await printed(placementSheet(placed.value, given, { machine: 'M', units: 'us', paper })),
      );
      const rule = lines.filter(isRule);
      expect(rule).toHaveLength(1);
      expect(Math.abs(length_mm(rule[0]) / 150 - 1)).toBeLessThan(0.005);
      // the fold is 66 mm long; the hole's upright line is 50 mm long and from_back away from it, on both pieces
      const upright = lines.filter(({ x0, x1 }) => Math.abs(x0 - x1) < 0.01);
      const below = rule[0].y0;
      const near = (mm: number) =>
        upright.filter((line) => Math.abs(length_mm(line) - mm) < 0.3 && line.y0 > below);
      const folds = near(66);
      const holes = near(50);
      expect(holes).toHaveLength(2);
      for (const hole of holes) {
        const apart_mm = folds.map((fold) => Math.abs(fold.x0 - hole.x0) / MM);
        expect(Math.min(...apart_mm.map((mm) => Math.abs(mm / (depth_mm / 2) - 1)))).toBeLessThan(0.005);
      }
    },
    20_000,
  );

  it('has no template for a column that is deeper than the paper is wide', async () => {
    const given = sheet(520);
    const placed = placementOf(given);
    if (!placed.ok) throw new Error(placed.error.text);
    const text = placementSheet(placed.value, given, { machine: 'M', units: 'metric', paper: 'a4' });
    expect(text).toContain('carry it over with square and level');
    expect(text).not.toContain('class="rule"');
  });
});

describe('the commissioning record', () => {
  const print = { machine: 'Machine <1>', paper: 'letter', generated_by: 'sheaflight' } as const;

  it('is one page, whether all is well or much is not', async () => {
    const bad = FAULTS.find(({ name }) => name === 'counter in milliseconds');
    for (const first of [soundFirstLog(1), bad?.make(2)]) {
      if (first === undefined) throw new Error('no such fault');
      const pdf = await printed(checkSheet(checkCase(first), print));
      expect(pdfPages(pdf)).toBe(1);
    }
  }, 20_000);

  it('lets nothing through from outside', () => {
    const text = checkSheet(checkCase(soundFirstLog(1)), print);
    expect(text).toContain('Machine &lt;1&gt;');
    expect(text).not.toMatch(/<script|https?:/);
  });
});
