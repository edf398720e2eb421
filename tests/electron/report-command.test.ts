import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  areaPair,
  type FigurePair,
  grouped,
  massPair,
  scaleMass,
  yieldPair,
} from '../../core/export/report/figures.ts';
import type { Summary } from '../../core/result.ts';
import { KG_PER_LB } from '../../core/units.ts';
import { runCommand } from './command-run.ts';
import { smallSeason } from './host/small-season.ts';
import { readPdf } from './read-pdf.ts';

let folder: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'sheaflight-report-'));
  smallSeason(folder);
});

afterEach(() => rmSync(folder, { recursive: true, force: true }));

const command = (name: string, ...args: readonly string[]) => runCommand([name, folder, ...args]);

function bytesOf(name: string): Buffer {
  return readFileSync(join(folder, 'out', name));
}

describe('sheaflight report', () => {
  it('writes reports whose totals are those of summary.json', async () => {
    await command('build', '--quiet');
    const { code, err, out } = await command('report', '--map', 'swaths');
    expect([code, err]).toEqual([0, '']);
    expect(out.match(/[^\s/]+-report\.(html|pdf)/g)).toEqual([
      'home-report.html',
      'home-report.pdf',
      'season-report.html',
      'season-report.pdf',
    ]);
    const summary: Summary = JSON.parse(bytesOf('summary.json').toString());
    const [field] = summary.fields;
    // corn: 56 lb [NIST Handbook 44]
    const bushel_kg = 56 * KG_PER_LB;
    const both = ({ first, second }: FigurePair) =>
      [first, second].map(({ number, unit }) => `${number} ${unit}`);
    const totals = [
      ...both(massPair(field.mass_std_kg, bushel_kg, 'metric')),
      ...both(yieldPair(field.mean_yield_t_ha, bushel_kg, 'metric')),
      ...both(areaPair(field.area_ha, 'metric')),
      `${scaleMass(field.mass_wet_kg, 'metric').number} kg`,
      ...summary.mass_ledger.map(({ beam_kg }) => grouped(beam_kg, 0)),
      ...Object.values(field.points.screened).map((count) => grouped(count, 0)),
    ];
    const html = bytesOf('home-report.html')
      .toString()
      .replaceAll(/<[^>]*>/g, '');
    const pdf = await readPdf(bytesOf('home-report.pdf'));
    for (const total of totals) {
      expect(pdf.text).toContain(total);
      expect(html).toContain(total);
    }
    expect(pdf.pages.length).toBeGreaterThanOrEqual(2);
    expect(pdf.pages.length).toBeLessThanOrEqual(4);
    for (const { sha256 } of summary.inputs) expect(pdf.text).toContain(sha256);
  });

  it('gives the same bytes again, without a clock', async () => {
    await command('report', '--map', 'swaths', '--field', 'Home', '--no-cache');
    const names = ['home-report.html', 'home-report.pdf'];
    const first = names.map(bytesOf);
    await command('report', '--map', 'swaths', '--field', 'Home', '--no-cache');
    expect(names.map((name, k) => bytesOf(name).equals(first[k]))).toEqual([true, true]);
    expect(readdirSync(join(folder, 'out')).sort()).toEqual(names);
  });

  it('shows the surface unless swaths are asked for, in units and on paper as asked', async () => {
    const { out } = await command('report', '--field', 'Home', '--units', 'us', '--as', 'html,pdf');
    expect(out).toContain('home-report.pdf');
    expect(bytesOf('home-report.html').toString()).toContain('surface by kriging');
    const { text, pages } = await readPdf(bytesOf('home-report.pdf'));
    expect(text).toContain('bu/ac');
    // Letter goes with US units
    expect(pages[0].view.map(Math.round)).toEqual([0, 0, 612, 792]);
    await command('report', '--season', '--as', 'pdf', '--paper', 'letter', '--map', 'swaths');
    const season = await readPdf(bytesOf('season-report.pdf'));
    expect(season.text).toContain('t/ha');
    expect(season.pages[0].view.map(Math.round)).toEqual([0, 0, 612, 792]);
  });

  it('names what is meant where something is mistyped', async () => {
    expect((await command('report', '--field', 'Hoem')).err).toContain('did you mean "Home"?');
    expect((await command('report', '--as', 'htlm')).err).toContain('Did you mean html?');
    expect((await command('report', '--papper', 'a4')).err).toContain('--paper');
    expect((await command('report', '--units', 'imperial')).err).toContain('us, metric');
    expect((await command('report', '--field', 'Hoem')).code).toBe(2);
  });

  it('keeps a field called "season" from taking the name of the season', async () => {
    const path = join(folder, 'season.json');
    writeFileSync(path, readFileSync(path, 'utf8').replace('"Home"', '"Season"'));
    const { out } = await command('report', '--as', 'html', '--map', 'swaths');
    expect(out.match(/[^\s/]+-report\.html/g)).toEqual(['season-2-report.html', 'season-report.html']);
    expect(bytesOf('season-2-report.html').toString()).toContain('Field report');
    expect(bytesOf('season-report.html').toString()).toContain('Season report');
  });
});
