import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { FeatureCollection } from 'geojson';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { SeasonComparisons } from '../../core/analysis/season-comparisons.ts';
import type { Summary } from '../../core/result.ts';
import { main } from '../../electron/command/main.ts';
import { diskLayer } from '../../electron/host/file-layer.ts';
import { runCommand } from './command-run.ts';
import { DRAWN, stripSeason, treatmentsGeojson } from './strip-season.ts';

let folder: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'sheaflight-compare-'));
});

afterEach(() => rmSync(folder, { recursive: true, force: true }));

const command = (...args: readonly string[]) => runCommand(['compare', folder, ...args]);

function written(): SeasonComparisons {
  return JSON.parse(readFileSync(join(folder, 'out', 'comparison.json'), 'utf8'));
}

const MARGIN = {
  currency: '$',
  prices: [{ crop: 'corn', price_per_t: 160, drying_per_point_t: 1.5 }],
  costs: [
    { name: 'seed', per_ha: 250, treatment: 'A' },
    { name: 'seed', per_ha: 280, treatment: 'B' },
    { name: 'fertiliser', per_ha: 200 },
  ],
};

describe('sheaflight compare', () => {
  it('shows the ground of strips in the units of the season, and says that nothing was weighed', async () => {
    stripSeason(folder, { comparisons: [DRAWN], units: 'us' });
    const { out } = await command();
    expect(out).toMatch(/ {2}strip {2,}block {2,}bu\/ac {2,}se {2,}moisture % {2,}ac {2,}points/);
    const [strip] = written().comparisons[0].strips;
    // an acre is 0.40468564224 ha [NIST HB 44, appendix C]
    expect(out).toContain(` ${(strip.area_ha / 0.40468564224).toFixed(3)} `);
    expect(out).toContain(
      '! corn, combine 1: not calibrated, no scale ticket belongs to it; its yields, totals and margins show the pattern, not the weight.\n',
    );
  });

  it('has no answer where the file that was given has none, whatever the season compares', async () => {
    stripSeason(folder, { comparisons: [DRAWN] });
    const file = join(folder, 'strips.geojson');
    writeFileSync(file, treatmentsGeojson());
    const { code, out } = await command('--treatments', file, '--property', 'Hibrid');
    expect(code).toBe(1);
    expect(out.match(/did you mean "Hybrid"\?/g)).toHaveLength(1);
    expect(await command('--property', 'Hybrid')).toEqual({
      code: 2,
      out: '',
      err: 'sheaflight: --property and --replicate name columns of a file; give it too, with --treatments.\n',
    });
    expect(await command('--treatments', folder)).toEqual({
      code: 2,
      out: '',
      err: `sheaflight: ${folder} is a folder; give the file of the strips.\n`,
    });
  });

  it('names strips without a point in one sentence', async () => {
    const away = ['A', 'B'].map((treatment) => ({
      treatment,
      replicate: '7',
      rings: [DRAWN.strips[0].rings[0].map(([lon, lat]) => [lon, lat + 1])],
    }));
    stripSeason(folder, { comparisons: [{ ...DRAWN, strips: [...DRAWN.strips, ...away] }] });
    await command('--by', 'field');
    expect(written().comparisons[0].cautions).toEqual([
      '2 strips have no point that counts ("A in 7", "B in 7"): draw them at least as wide as the cut and where the passes lie, or make the buffers smaller.',
    ]);
  });

  it('names the file of treatments that is not there', async () => {
    stripSeason(folder);
    const path = join(folder, 'strips.geojson');
    expect(await command('--treatments', path)).toEqual({
      code: 2,
      out: '',
      err: `sheaflight: there is no file ${path}; check the path.\n`,
    });
  });

  it('tells drawn strips apart, totals the field, and says whether it paid', async () => {
    stripSeason(folder, { comparisons: [DRAWN], settings: { margin: MARGIN } });
    const { code, out, err } = await command();
    expect([code, err]).toEqual([0, '']);
    const [comparison] = written().comparisons;
    expect(comparison.design).toMatchObject({ kind: 'pairs', blocks_from: 'sheet' });
    // B yields 0.6 t/ha more as harvested: (9.6 × 81 − 9 × 82) / 84.5 = 0.468 at 15.5 %
    const [difference] = comparison.differences;
    expect(difference).toMatchObject({ higher: 'B', can_be_told: true });
    expect(Math.abs(difference.difference_t_ha - 0.468)).toBeLessThan(0.06);
    const [low, high] = difference.interval_t_ha ?? [];
    expect(low).toBeLessThan(0.468);
    expect(high).toBeGreaterThan(0.468);
    expect(out).toMatch(/B outyielded A by 0\.\d\d ± 0\.\d\d t\/ha/);
    expect(out).toMatch(/Totals of corn by day\n.*\n {2}2026-10-03 .*\n {2}2026-10-04 /);
    expect(out).toMatch(/Gross margin, \$\/ha/);
    // half a tonne brings 70 $, less 30 $ of seed and a point of drying on 9.6 t
    expect(out).toMatch(/B leaves \d+ \$\/ha more than A after their costs .*at these prices it paid/);
    const margins = written().margins?.treatments[0].treatments;
    expect(margins?.map(({ treatment }) => treatment)).toEqual(['B', 'A']);
    for (const name of ['comparison.csv', 'comparison-differences.csv', 'totals.csv', 'margins.csv'])
      expect(existsSync(join(folder, 'out', name))).toBe(true);
    const strips = readFileSync(join(folder, 'out', 'comparison.csv'), 'utf8').split('\r\n');
    expect(strips[0]).toMatch(/^comparison,field,treatment,block,machines,yield_t_ha,/);
    expect(strips).toHaveLength(14);
    const again = readFileSync(join(folder, 'out', 'comparison.json'), 'utf8');
    await command('--quiet');
    expect(readFileSync(join(folder, 'out', 'comparison.json'), 'utf8')).toBe(again);
  });

  it('names the cost of a treatment that is in no strip', async () => {
    const slip = { name: 'fungicide', per_ha: 40, treatment: 'Bb' };
    const margin = { ...MARGIN, costs: [...MARGIN.costs, slip] };
    stripSeason(folder, { comparisons: [DRAWN], settings: { margin } });
    const { err } = await command('--by', 'field');
    expect(err).toBe(
      'sheaflight: The cost "fungicide" is of the treatment "Bb", which no comparison has, so that it counts nowhere; did you mean "B"?\n',
    );
  });

  it('prices go into the cells and zones that are exported', async () => {
    stripSeason(folder, { settings: { margin: MARGIN } });
    const streams = { out: () => {}, err: () => {}, isTerminal: false, layer: diskLayer };
    const args = ['export', folder, '--layers', 'cells', '--units', 'metric'];
    expect(await main(args, streams)).toBe(0);
    const out = join(folder, 'out', 'export');
    const [name] = readdirSync(out).filter((file) => file.endsWith('.geojson'));
    const { features } = JSON.parse(readFileSync(join(out, name), 'utf8')) as FeatureCollection;
    const { code } = await command('--quiet', '--by', 'field');
    expect(code).toBe(0);
    const margin = written().margins?.fields[0].margin;
    if (margin === undefined) throw new Error('no margin');
    for (const { properties } of features)
      expect(
        properties?.yield_t_ha * margin.net_price_per_t - margin.costs_per_ha - properties?.margin_per_ha,
      ).toBeCloseTo(0, 0);
    expect(features.length).toBeGreaterThan(500);
  });

  it('takes strips from a file, says what it guessed, and finds the same', async () => {
    stripSeason(folder, { comparisons: [DRAWN] });
    const file = join(folder, 'strips.geojson');
    writeFileSync(file, treatmentsGeojson());
    const { code, out, err } = await command('--treatments', file, '--by', 'machine', '--json');
    expect(code).toBe(0);
    expect(err).toMatch(
      /"Hybrid" looks like the treatment: its name says so.*"Rep" looks like pairs or blocks/,
    );
    const { comparisons, totals } = JSON.parse(out) as SeasonComparisons;
    expect(comparisons.map(({ name }) => name)).toEqual(['Hybrids', 'strips.geojson']);
    expect(comparisons[1].differences).toEqual(comparisons[0].differences);
    expect(totals.map(({ by }) => by)).toEqual(['machine']);
  });

  it('keeps the file of treatments with the season: its hash is among the inputs', async () => {
    const file = { path: 'boundaries/strips.geojson', treatment: 'Hybrid' };
    stripSeason(folder, { comparisons: [{ name: 'From file', field: 'Home', file, alpha_pct: 10 }] });
    mkdirSync(join(folder, 'boundaries'));
    writeFileSync(join(folder, file.path), treatmentsGeojson());
    expect((await command('--quiet')).code).toBe(0);
    expect(written().comparisons[0]).toMatchObject({ alpha_pct: 10, design: { blocks_from: 'layout' } });
    const printed: string[] = [];
    const streams = {
      out: (text: string) => printed.push(text),
      err: () => {},
      isTerminal: false,
      layer: diskLayer,
    };
    await main(['build', folder, '--json', '--no-cache'], streams);
    const { inputs } = JSON.parse(printed.join('')) as Summary;
    expect(inputs.map(({ path }) => path)).toContain(file.path);
    rmSync(join(folder, file.path));
    const gone = await command();
    expect([gone.code, gone.err]).toEqual([2, expect.stringContaining(file.path)]);
  });

  it('says what is wrong in a sentence', async () => {
    stripSeason(folder);
    const file = join(folder, 'strips.geojson');
    writeFileSync(file, treatmentsGeojson());
    expect(await command('--field', 'Away')).toMatchObject({
      code: 2,
      err: expect.stringContaining('there is "Home"'),
    });
    expect(await command('--treatments', file, '--property', 'Hibrid')).toMatchObject({
      code: 1,
      out: expect.stringContaining('did you mean "Hybrid"?'),
    });
    expect(await command('--treatments', join(folder, 'none.geojson'))).toMatchObject({ code: 2 });
    expect(await command('--by', 'colour')).toMatchObject({
      code: 2,
      err: expect.stringContaining('variety'),
    });
  });
});
