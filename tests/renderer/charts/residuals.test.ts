import { describe, expect, it } from 'vitest';
import type { FieldPoints, LoadSummary } from '../../../core/result.ts';
import { enoughWords } from '../../../renderer/charts/enough-loads.tsx';
import { flowBins, outsideRows } from '../../../renderer/charts/flow-cover.ts';
import { likelyMistake, reachOf, residualsAgainst, slopeWords } from '../../../renderer/charts/residuals.ts';

const load = (ticket: string, error_pct: number | null, more: Partial<LoadSummary> = {}): LoadSummary => ({
  ticket,
  scale_kg: 5000,
  predicted_kg: 5000,
  error_pct,
  loo_error_pct: error_pct,
  studentised_residual: 0,
  used: true,
  flagged: false,
  why: '',
  mean_flow_kg_s: 8,
  leverage: 0.2,
  cooks_distance: 0,
  ...more,
});

describe('errors of loads against something of them', () => {
  const loads = [
    load('1', 0.2, { moisture_pct: 18 }),
    load('2', -0.4, { mean_flow_kg_s: 11 }),
    load('3', 28, { used: false, flagged: true, moisture_pct: 17 }),
    load('4', null),
  ];
  const spans = [
    { ticket: '1', start_s: 90_000, end_s: 91_000 },
    { ticket: '2', start_s: 3600, end_s: 4600 },
  ];

  it('take every load that has both, the one set aside too', () => {
    const of = (against: Parameters<typeof residualsAgainst>[1]) =>
      residualsAgainst({ loads }, against, spans).map((each) => [each.load.ticket, each.at]);
    expect(of('flow_kg_s')).toEqual([
      ['1', 8],
      ['2', 11],
      ['3', 8],
    ]);
    expect(of('moisture_pct')).toEqual([
      ['1', 18],
      ['3', 17],
    ]);
    // Seconds of a day: 86,400 (definition).
    expect(of('time_d')).toEqual([
      ['1', 1],
      ['2', 0],
    ]);
    expect(of('test_weight_kg_hl')).toEqual([]);
  });

  it('are shown at a scale that the wrong ticket does not set', () => {
    const residuals = residualsAgainst({ loads }, 'flow_kg_s', spans);
    expect(reachOf(residuals, null)).toBe(1.25);
    expect(reachOf(residuals, 1.6)).toBe(2);
  });

  it('say whether there is a trend, and never one that may be chance', () => {
    const slope = { against: 'moisture_pct', slope_pct: -1.67, se_pct: 0.3, t: -5.6, p: 0.0013 } as const;
    expect(slopeWords([slope], 'moisture_pct')).toBe(
      'The scale says 1.67 % less than the beam for each point of moisture more (± 0.30): beyond chance (p = 0.001).',
    );
    expect(slopeWords([{ ...slope, p: 0.4 }], 'moisture_pct')).toMatch(
      /^No trend with moisture beyond chance/,
    );
    expect(slopeWords([], 'time_d')).toMatch(/^Too few loads/);
  });
});

describe('what is likely the matter with a ticket', () => {
  it('is the mistake that the remark names, in a few words', () => {
    expect(likelyMistake('The scale says 12640 lb. Perhaps two digits swapped; 16240 lb would fit.')).toBe(
      'two digits swapped?',
    );
    expect(likelyMistake('Perhaps on one of its tickets: a digit left out; 1 would fit.')).toBe(
      'a digit left out?',
    );
    expect(likelyMistake('Look at its weight, and whether its times are right.')).toBe('');
  });
});

describe('flows that the loads cover', () => {
  const points = {
    t_s: Float64Array.of(0, 1, 2, 3, 4),
    machine: Int32Array.of(0, 0, 0, 1, 0),
    screened_by: Uint8Array.of(0, 0, 0, 0, 5),
    mass_flow_kg_s: Float64Array.of(2, 10, 18, 30, 40),
    mass_kg: Float64Array.of(1, 5, 9, 7, 7),
  } as Partial<FieldPoints> as FieldPoints;

  it('hold all kept grain of the machine, and no other', () => {
    const bins = flowBins([points, points], 0);
    expect(bins?.mass_kg.reduce((sum, kg) => sum + kg, 0)).toBe(30);
    expect((bins?.step_kg_s ?? 0) * (bins?.mass_kg.length ?? 0)).toBeCloseTo(18, 9);
    expect(flowBins([points], 7)).toBeNull();
  });

  it('leave outside what is slower or faster, and was kept', () => {
    expect(outsideRows(points, 0, [5, 15])).toEqual(Uint8Array.of(1, 0, 1, 0, 0));
    expect(outsideRows(points, 0, [1, 40])).toBeNull();
  });
});

describe('how many loads are enough', () => {
  it('is told by what one more would bring', () => {
    // Half-widths of 95 % intervals: 1.96 × 0.5 = 0.98, × 0.4 = 0.78, × 0.49 = 0.96.
    expect(enoughWords([step(3, 0.5), step(4, 0.4)])).toBe(
      '3 loads give totals to ± 0.98 %; one more would make it ± 0.78 %',
    );
    expect(enoughWords([step(9, 0.5), step(10, 0.49)])).toContain('enough, one more would make it ± 0.96 %');
    expect(enoughWords([])).toMatch(/not known/);
  });

  const step = (loads: number, total_se_pct: number) => ({ loads, total_se_pct });
});
