/**
 * A made-up season result for the exports: two fields cut in straight passes, with loads, a mistyped ticket, screened
 * points and everything that can be absent. Plain arithmetic, so that it is the same everywhere; its sums are not
 * those of a real chain.
 */
import type { Notice } from '../../../core/errors.ts';
import { type FieldPoints, SCREENING_RULES, type SeasonResult } from '../../../core/result.ts';
import type { Season } from '../../../core/season.ts';
import { blockPoints } from './block-points.ts';

export const SEASON: Season = {
  format: 'sheaflight-season/1',
  name: 'Heron Bottom & <Sons> 2026',
  units: 'us',
  machines: [
    {
      id: 'c1',
      name: 'combine 1',
      paddle: { pitch_mm: 203.2, width_mm: 260, depth_mm: 150, thickness_mm: 10 },
      header: { width_m: 9.144 },
    },
  ],
  fields: [
    { name: 'Home', crop: 'corn', standard_moisture_pct: 15.5 },
    { name: 'Upper "Ten"', crop: 'lupins' },
  ],
  crops: [{ name: 'lupins', standard_moisture_pct: 14, bulk_density_kg_m3: 780 }],
  logs: [{ machine: 'c1', files: ['logs/combine.log'] }],
  settings: { lags: [{ field: 'Home', transport_s: 11.5 }], screening: { slow: { speed_min_m_s: 0.6 } } },
};

function load(
  ticket: string,
  scale_kg: number,
  error_pct: number,
  why = '',
): SeasonResult['summary']['calibrations'][0]['loads'][0] {
  return {
    ticket,
    scale_kg,
    predicted_kg: scale_kg * (1 + error_pct / 100),
    error_pct,
    loo_error_pct: error_pct * 1.2,
    studentised_residual: error_pct * 0.8,
    used: why === '',
    flagged: why !== '',
    why,
    mean_flow_kg_s: 9 + scale_kg / 3000,
    leverage: 0.15,
    cooks_distance: 0.05,
  };
}

function counted(points: FieldPoints): { total: number; kept: number; screened: Record<string, number> } {
  const screened: Record<string, number> = {};
  for (const rule of points.screened_by) {
    if (rule > 0) screened[SCREENING_RULES[rule - 1]] = (screened[SCREENING_RULES[rule - 1]] ?? 0) + 1;
  }
  return { total: points.t_s.length, kept: points.screened_by.filter((rule) => rule === 0).length, screened };
}

export function makeResult(): SeasonResult {
  const home = blockPoints({
    field: 'Home',
    crop: 'corn',
    length_m: 420,
    passes: 52,
    origin: [-96.8123456, 42.3210987],
    mean_kg_m2: 1.16,
  });
  const upper = blockPoints({
    field: 'Upper "Ten"',
    crop: 'lupins',
    length_m: 260,
    passes: 16,
    origin: [-96.79, 42.33],
    mean_kg_m2: 0.31,
  });
  return {
    epoch_utc_s: 1_790_000_000,
    machines: ['c1'],
    loads: ['4711', '4712', '4713', '4714', '4715', '4716', '4717'].map((ticket, index) => ({
      ticket,
      start_s: index * 1000,
      end_s: index * 1000 + 990,
    })),
    points: [home, upper],
    outlines: [[Float64Array.of(-6, -3, 480, -3, 480, 424, -6, 424, -6, -3)], []],
    summary: {
      season: SEASON.name,
      generated_by: 'sheaflight 0.1.0',
      inputs: [
        {
          path: 'logs/combine.log',
          sha256: 'a'.repeat(64),
          lines: 1_234_567,
          damage: { bad_checksum: 12, truncated_last_line: 1 },
        },
        { path: 'tickets/tickets.csv', sha256: 'b'.repeat(64), lines: 8, damage: {} },
      ],
      fields: [
        {
          name: 'Home',
          crop: 'corn',
          area_ha: 19.912,
          mean_yield_t_ha: 11.58,
          mean_yield_se_t_ha: 0.14,
          mean_yield_bu_ac: 184.5,
          mass_wet_kg: 235_400,
          mass_std_kg: 230_581,
          moisture_pct: 17.23,
          standard_moisture_pct: 15.5,
          points: counted(home),
        },
        {
          name: 'Upper "Ten"',
          crop: 'lupins',
          area_ha: 3.706,
          mean_yield_t_ha: 3.11,
          mean_yield_se_t_ha: null,
          mean_yield_bu_ac: null,
          mass_wet_kg: 11_700,
          mass_std_kg: 11_526,
          moisture_pct: null,
          standard_moisture_pct: 14,
          points: counted(upper),
        },
      ],
      lags: [
        {
          field: 'Home',
          machine: 'c1',
          transport_s: 11.43,
          mixing_s: 2.61,
          transport_se_s: 0.18,
          method: 'ends_of_passes',
          applied_s: 14.04,
          unsmear_noise_gain: null,
          neighbour_transport_s: 11.7,
          curve: {
            ends_of_passes: {
              best_s: 11.43,
              se_s: 0.18,
              count: 40,
              lag_s: [10, 11, 12],
              cost: [0.4, 0.1, 0.2],
            },
            neighbour_agreement: null,
          },
        },
        {
          field: 'Upper "Ten"',
          machine: 'c1',
          transport_s: null,
          mixing_s: null,
          transport_se_s: null,
          method: 'assumed',
          applied_s: 12,
          unsmear_noise_gain: null,
          neighbour_transport_s: null,
          curve: { ends_of_passes: null, neighbour_agreement: null },
        },
      ],
      calibrations: [
        {
          machine: 'c1',
          crop: 'corn',
          model: 'gain_zero',
          coefficients: { k: 0.9421, zero_kg_s: 0.031 },
          standard_errors: { k: 0.0091, zero_kg_s: 0.022 },
          r2: 0.9993,
          fit_rmse_pct: 0.84,
          loo_rmse_pct: 1.12,
          loads: [
            load('4711', 35_210, 0.6),
            load('4712', 28_950, -1.1),
            load('4713', 41_230, 0.3),
            load('4714', 22_100, 1.4),
            load(
              '4715',
              14_320,
              138.2,
              'Scale weight is far from what the beam saw; two digits may be swapped: 41,320 would fit within 1 %.',
            ),
            load('4716', 31_870, -0.7),
            load('4717', 30_050, -0.2),
          ],
        },
        {
          machine: 'c1',
          crop: 'lupins',
          model: 'uncalibrated',
          coefficients: { k: 1 },
          standard_errors: {},
          r2: null,
          fit_rmse_pct: null,
          loo_rmse_pct: null,
          loads: [],
        },
      ],
      mass_ledger: [
        {
          field: 'Home',
          machine: 'c1',
          beam_kg: 236_012,
          mapped_kg: 221_300,
          screened_kg: { ramp: 10_411, slow: 902, narrow_cut: 2_787 },
          outside_field_kg: 412,
          not_cutting_kg: 200,
        },
        {
          field: 'Upper "Ten"',
          machine: 'c1',
          beam_kg: 11_700,
          mapped_kg: 10_980,
          screened_kg: { ramp: 700 },
          outside_field_kg: 0,
          not_cutting_kg: 20,
        },
      ],
      warnings: [
        {
          code: 'suspicious_load',
          text: 'Ticket 4715 does not fit the others: check its weight before you settle on these figures.',
        },
        { code: 'uncalibrated', text: 'No scale tickets for lupins: yields there are uncalibrated.' },
        {
          code: 'unknown_key',
          text: 'season.json, line 9: <img src=x onerror=alert(1)> is not a key that this program knows.',
        },
      ],
      signals: [
        {
          machine: 'c1',
          paddles: 140_210,
          chain_speed_m_s: 2.032,
          period_jitter_pct: 0.12,
          slip_pct: 1.4,
          empty_level: {
            method: 'measured',
            first: 0.0689,
            last: 0.0935,
            geometry: 0.0738,
            spells: 9,
            read_at_unix_s: [1_790_000_000, 1_790_600_000],
            read: [0.0689, 0.0935],
          },
          odd_paddles: [{ place: 17, extra_dark_fraction: 0.0157 }],
          missed: 1_902,
          hidden: 40,
          extra: 3,
          lit_gaps_bridged: 812,
          dark_blips_dropped: 96,
          bridge_lit_ms: [1.41, 1.58],
          drop_dark_ms: [1.26, 1.26],
          clock: [
            { drift_ppm: 41.4, delay_ms: 61.2, leaps: 0, outliers: 0 },
            { drift_ppm: 41.9, delay_ms: 64.9, leaps: 1, outliers: 3 },
          ],
        },
      ],
    },
  };
}

/** What was noticed on the way to that result. */
export const NOTICES: readonly Notice[] = [
  notice(
    'info',
    'bad_checksum',
    'logs/combine.log: 12 position sentences arrived damaged and were left out.',
  ),
  notice(
    'look',
    'suspicious_load',
    'Ticket 4715 does not fit the others: check its weight before you settle on it.',
  ),
  notice('mend', 'no_tickets', 'No scale tickets for lupins: yields there are uncalibrated.'),
  notice(
    'look',
    'unknown_key',
    'season.json, line 9: <img src=x onerror=alert(1)> is not a key that this program knows.',
  ),
];

function notice(severity: Notice['severity'], code: string, text: string): Notice {
  return { code, severity, source: 'season.json', count: 1, text };
}
