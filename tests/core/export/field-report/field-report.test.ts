import { parse } from 'parse5';
import { describe, expect, it } from 'vitest';
import { documentHtmlPieces } from '../../../../core/export/document/document-html.ts';
import { fieldReport } from '../../../../core/export/field-report/field-report.ts';
import type { ReportMaterial } from '../../../../core/export/field-report/report-material.ts';
import { seasonReport } from '../../../../core/export/field-report/season-report.ts';
import { makeResult, NOTICES, SEASON } from '../season-fixture.ts';

function material(changes: Partial<ReportMaterial> = {}): ReportMaterial {
  return {
    season: SEASON,
    result: makeResult(),
    notices: NOTICES,
    system: 'us',
    surfaces: new Map(),
    settings_sha256: 'c'.repeat(64),
    comparisons: [],
    ...changes,
  };
}

function fieldPage(name: string, changes: Partial<ReportMaterial> = {}): string {
  return [...documentHtmlPieces(fieldReport(material(changes), name))].join('');
}

function seasonPage(changes: Partial<ReportMaterial> = {}): string {
  return [...documentHtmlPieces(seasonReport(material(changes)))].join('');
}

/** What a reader sees. */
function words(html: string): string {
  return html
    .replaceAll(/<(style|svg)[\s\S]*?<\/\1>/g, ' ')
    .replaceAll(/<\/(td|th|dt|dd|p|h\d|li|div)>/g, ' ')
    .replaceAll(/<[^>]*>/g, '')
    .replaceAll('&quot;', '"')
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&amp;', '&')
    .replaceAll(/\s+/g, ' ');
}

/** Faults by the parser of the HTML standard. */
function faults(html: string): string[] {
  const found: string[] = [];
  parse(html, { onParseError: ({ code, startLine }) => found.push(`${code} in line ${startLine}`) });
  return found;
}

/** The fixture with errors of the totals, as a calibrated field has them. */
function withIntervals(): Partial<ReportMaterial> {
  const result = makeResult();
  const [home, ...others] = result.summary.fields;
  const uncertainty = {
    mass_wet_se_kg: 1200,
    mass_std_se_kg: 1150,
    mass_wet_95_kg: [233_000, 237_800],
    mass_std_95_kg: [228_281, 232_881],
    mean_yield_95_t_ha: [11.46, 11.7],
    parts_pct: { calibration: 0.4, moisture: 0.3, area: 0.1 },
  } as const;
  return {
    result: {
      ...result,
      summary: { ...result.summary, fields: [{ ...home, uncertainty }, ...others] },
    },
  };
}

describe('the field report as HTML', () => {
  it('is sound, and needs nothing but itself', () => {
    for (const html of [fieldPage('Home'), fieldPage('Upper "Ten"'), seasonPage()]) {
      expect(faults(html)).toEqual([]);
      const tags = (html.match(/<[^>]*>/g) ?? []).join('\n');
      expect(tags).not.toMatch(/<script|<link|<img|<iframe|\bsrc=|\bhref=|\bon\w+=|https?:/i);
      expect(/<style>([\s\S]*?)<\/style>/.exec(html)?.[1]).not.toMatch(/url\(|@import/i);
    }
  });

  it('says totals with their intervals, in the units of the reader', () => {
    const us = words(fieldPage('Home', withIntervals()));
    // 230,581 kg and half of 4,600 kg, in bushels of 56 lb
    expect(us).toContain('9,078 ± 91 bu');
    expect(us).toContain('230.58 ± 2.30 t');
    expect(us).toContain('Total at 15.5 % 9,078 bu 230.58 t 8,987 to 9,168');
    expect(us).toContain('One standard error is made of 0.40 % from the calibration');
    const metric = words(fieldPage('Home', { ...withIntervals(), system: 'metric' }));
    expect(metric).toContain('230.58 ± 2.30 t');
    expect(metric).toContain('Total at 15.5 % 230.58 t 9,078 bu 228.28 to 232.88');
    expect(metric).toContain('Area cut 19.91 ha');
  });

  it('tells first that no scale stands behind a field, and promises no interval there', () => {
    const text = words(fieldPage('Upper "Ten"'));
    const [page1] = text.split('Calibration beam against scale');
    expect(page1).toContain('Lupins, combine 1: not calibrated.');
    expect(page1).toContain('Total at 14 % moisture 25,410 lb');
    expect(page1).not.toContain('± 95 %');
    expect(page1).not.toContain('One standard error');
  });

  it('accounts for every pound, and names the load that does not fit once', () => {
    const text = words(fieldPage('Home'));
    expect(text).toContain('passed the beam');
    expect(text).toContain('100.00 %');
    expect(text.split('Ticket 4715 does not fit.').length).toBe(2);
    expect(text).toContain('gain and zero error');
    expect(text).toContain('c'.repeat(64));
    expect(text).toContain('a'.repeat(64));
  });

  it('leaves out what belongs to other fields', () => {
    const text = words(fieldPage('Home'));
    expect(text).not.toContain('Upper');
    expect(text).not.toContain('lupins');
  });

  it('has a place for comparisons, and none where there are none', () => {
    const comparison = {
      field: 'Home',
      name: 'Nitrogen',
      finding: 'The higher rate outyielded the lower one.',
      heads: ['treatment', 'mean yield, bu/ac'],
      rows: [
        ['high', '186.0'],
        ['low', '182.5'],
      ],
    };
    expect(words(fieldPage('Home'))).not.toContain('Comparison');
    expect(words(fieldPage('Home', { comparisons: [comparison] }))).toContain(
      'Comparison Nitrogen Home The higher rate outyielded the lower one. treatment mean yield, bu/ac high 186.0 low 182.5',
    );
    expect(words(fieldPage('Upper "Ten"', { comparisons: [comparison] }))).not.toContain('Nitrogen');
    expect(words(seasonPage({ comparisons: [comparison] }))).toContain('Nitrogen Home');
  });

  it('lets no text from a file become markup or style', () => {
    const nasty = '</style><script>alert(1)</script>"; } body { background: url(x) } <b onmouseover=x>\u0000';
    const result = makeResult();
    const [home] = result.summary.fields;
    const [fit] = result.summary.calibrations;
    const evil: Partial<ReportMaterial> = {
      season: {
        ...SEASON,
        name: nasty,
        grower: nasty,
        fields: [{ name: nasty, crop: 'corn', variety: nasty }],
      },
      result: {
        ...result,
        points: [{ ...result.points[0], field: nasty }],
        summary: {
          ...result.summary,
          fields: [{ ...home, name: nasty }],
          lags: [{ ...result.summary.lags[0], field: nasty }],
          mass_ledger: [{ ...result.summary.mass_ledger[0], field: nasty, screened_kg: { [nasty]: 12 } }],
          calibrations: [{ ...fit, model: nasty, loads: [{ ...fit.loads[4], ticket: nasty, why: nasty }] }],
          inputs: [{ path: nasty, sha256: nasty, lines: 1, damage: {} }],
        },
      },
    };
    for (const html of [fieldPage(nasty, evil), seasonPage(evil)]) {
      expect(faults(html)).toEqual([]);
      const tags = (html.match(/<[^>]*>/g) ?? []).join('\n');
      expect(tags).not.toMatch(/<script|<b on/);
      const style = /<style>([\s\S]*?)<\/style>/.exec(html)?.[1] ?? '';
      expect(style).toContain('@page');
      expect(style).not.toMatch(/url\(|alert\(|body \{ background/);
    }
  });

  it('says of a field in which nothing was cut that nothing was cut', () => {
    const result = makeResult();
    const empty = {
      ...result,
      points: [],
      outlines: [],
      summary: { ...result.summary, mass_ledger: [], lags: [], calibrations: [] },
    };
    const text = words(fieldPage('Home', { result: empty }));
    expect(text).toContain('No ground was cut in this field, so there is no map.');
    expect(text).toContain('Nothing was harvested here, so that there is nothing to calibrate.');
    expect(text).not.toContain('NaN');
    expect(words(seasonPage({ result: empty }))).not.toContain('NaN');
  });

  it('refuses a field that is not there', () => {
    expect(() => fieldReport(material(), 'Nowhere')).toThrow(RangeError);
  });
});

describe('the season report as HTML', () => {
  it('adds up the fields of a crop, and shows no sum of one', () => {
    const result = makeResult();
    const [home, upper] = result.summary.fields;
    const second = { ...home, name: 'Creek', mass_std_kg: 100_000, area_ha: 10 };
    const points = [...result.points, { ...result.points[0], field: 'Creek' }];
    const outlines = [...result.outlines, []];
    const summary = { ...result.summary, fields: [home, second, upper] };
    const season = { ...SEASON, fields: [...SEASON.fields, { name: 'Creek', crop: 'corn' }] };
    const text = words(
      seasonPage({ result: { ...result, points, outlines, summary }, season, system: 'metric' }),
    );
    // 230,581 kg + 100,000 kg from 19.912 ha + 10 ha
    expect(text).toContain('together 29.91 11.05 330.58');
    expect(text.split('together').length - 1).toBe(1);
    expect(text).toContain('3 fields');
  });

  it('has a map for each field, told apart for those who listen', () => {
    const html = seasonPage();
    expect(html).toContain('aria-label="Yield map of Home, bu/ac"');
    expect(html).toContain('aria-label="Yield map of Upper &quot;Ten&quot;, lb/ac"');
  });
});
