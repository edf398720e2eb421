import { describe, expect, it } from 'vitest';
import type { LagCurveSummary, LagSummary } from '../../../core/result.ts';
import { agreementWords, lagSeries, lagWords } from '../../../renderer/steps/lag/lag-evidence.ts';

const curve = (best_s: number, se_s: number): LagCurveSummary => ({
  best_s,
  se_s,
  count: 40,
  lag_s: [10, 12, 14],
  cost: [0.5, 0.06, 0.3],
});

function lagOf(ends: LagCurveSummary | null, neighbours: LagCurveSummary | null, method = 'ends_of_passes') {
  return { method, curve: { ends_of_passes: ends, neighbour_agreement: neighbours } } as LagSummary;
}

describe('what the lag estimators say', () => {
  it('is a series for each that could tell', () => {
    expect(lagSeries(lagOf(null, null))).toEqual([]);
    expect(lagSeries(lagOf(curve(12, 0.1), null)).map(({ label }) => label)).toEqual(['Ends of passes']);
  });

  it('agrees, or differs by more than the errors explain', () => {
    expect(agreementWords(lagOf(curve(12, 0.1), curve(12.3, 0.2)))).toBe('They agree: 0.3 s apart.');
    // 1.96 · √(1² + 1²) = 2.8 s
    expect(agreementWords(lagOf(curve(12, 1), curve(14.5, 1)))).toBe('They agree: 2.5 s apart.');
    expect(agreementWords(lagOf(curve(12, 0.1), curve(14.5, 0.1)))).toMatch(/^They differ by 2\.5 s/);
  });

  it('names who cannot tell, and why', () => {
    expect(agreementWords(lagOf(null, null, 'assumed'))).toMatch(/^Neither can tell here\./);
    expect(agreementWords(lagOf(curve(12, 0.1), null))).toMatch(/^Only the ends of passes can tell/);
    expect(agreementWords(lagOf(null, curve(2, 0.1), 'as_logged'))).toMatch(/already holds a flow/);
  });

  it('tells of one lag how well passes agree there, between the points of the curve too', () => {
    const words = lagWords(lagOf(curve(12, 0.1), curve(12, 0.1)), 13);
    // half way between 6 % and 30 %
    expect(words).toContain('At 13.0 s opposite passes disagree by 18 % of their scatter (least 6.0 %)');
    expect(words).toContain('18 % of the flow at ends of passes stays unexplained');
    expect(lagWords(lagOf(null, null), 13)).toBe('');
  });
});
