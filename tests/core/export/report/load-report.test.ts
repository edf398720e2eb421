import { describe, expect, it } from 'vitest';
import type { CalibrationDiagnostics } from '../../../../core/calibration-result.ts';
import { loadReportPieces } from '../../../../core/export/report/load-report.ts';
import type { SeasonResult } from '../../../../core/result.ts';
import { makeResult, NOTICES, SEASON } from '../season-fixture.ts';

const DIAGNOSTICS: CalibrationDiagnostics = {
  recommended_model: 'gain',
  models: [
    { model: 'gain', fit_rmse_pct: 0.5, loo_rmse_pct: 0.61 },
    { model: 'gain_zero', fit_rmse_pct: 0.4, loo_rmse_pct: 0.72 },
  ],
  degrees_of_freedom: 6,
  confidence_95: { k: [0.9, 0.94] },
  prediction_95_pct: 1.7,
  huber_k: 0.921,
  median_ratio: 0.922,
  theil_sen_k: 0.92,
  dimensionless: true,
  prior: { factor: 0.95, se_pct: 2, from: 'season 2025' },
  covered_flow_kg_s: [6.2, 11.4],
  outside_points_pct: 12,
  outside_grain_pct: 9,
  residual_slopes: [
    { against: 'flow_kg_s', slope_pct: 0.4, se_pct: 0.1, t: 4, p: 0.01 },
    { against: 'time_d', slope_pct: 0.4, se_pct: 1, t: 0.4, p: 0.7 },
  ],
  enough_loads: [
    { loads: 5, total_se_pct: 0.4 },
    { loads: 6, total_se_pct: 0.35 },
  ],
  next_flow_kg_s: 6.4,
};

function withDiagnostics(): SeasonResult {
  const result = makeResult();
  const calibrations = result.summary.calibrations.map((fit) => ({ ...fit, diagnostics: DIAGNOSTICS }));
  return { ...result, summary: { ...result.summary, calibrations } };
}

const page = (result: SeasonResult, season = SEASON) =>
  [...loadReportPieces(season, result, NOTICES)].join('');
const words = (html: string) =>
  html
    .replaceAll(/<(style|svg)[\s\S]*?<\/\1>/g, ' ')
    .replaceAll(/<[^>]*>/g, ' ')
    .replaceAll(/\s+/g, ' ');

describe('loads.html', () => {
  const html = page(withDiagnostics());
  const text = words(html);

  it('needs nothing but itself', () => {
    expect(html).toContain("default-src 'none'; style-src 'unsafe-inline'");
    expect((html.match(/<[^>]*>/g) ?? []).join('\n')).not.toMatch(/<script|<link|<img|\bsrc=|\bhref=/i);
  });

  it('has a page for each machine and crop, each with what it can and cannot be used for', () => {
    const fits = makeResult().summary.calibrations.length;
    expect(html.split('class="load-page"')).toHaveLength(fits + 1);
    expect(text.split('What this can be used for')).toHaveLength(fits + 1);
    expect(text.split('it is not legal for trade; settle on a certified scale')).toHaveLength(fits + 1);
    expect(html).toContain('.load-page { break-after: page;');
  });

  it('says what each model costs, which flows are covered, what the next load brings, and only slopes beyond chance', () => {
    expect(text).toContain('gain through the origin 0.61 %, gain and zero error 0.72 %');
    expect(text).toContain(
      'flows from 6.2 to 11.4 kg/s; 12 % of the points, with 9 % of the grain, lie outside',
    );
    expect(text).toContain('with one more at 6.4 kg/s to ± 0.35 %');
    expect(text).toContain('0.40 % more than the beam for each kg/s of flow more (± 0.10): beyond chance');
    expect(text).not.toContain('day of the season');
    expect(text).toContain('0.9500 ± 2.0 % was known beforehand (season 2025)');
  });

  it('stands without diagnostics, and lets no text from a file become markup', () => {
    const nasty = '"><b onmouseover=x>';
    const result = makeResult();
    const [fit] = result.summary.calibrations;
    const evil = {
      ...result,
      summary: {
        ...result.summary,
        calibrations: [{ ...fit, crop: nasty, machine: nasty, loads: [{ ...fit.loads[0], ticket: nasty }] }],
      },
    };
    const shown = page(evil, { ...SEASON, name: nasty });
    expect(shown).not.toContain('<b onmouseover');
    expect(shown).toContain('&lt;b onmouseover');
  });
});
