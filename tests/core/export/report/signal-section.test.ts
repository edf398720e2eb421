import { describe, expect, it } from 'vitest';
import { signalSection } from '../../../../core/export/report/signal-section.ts';
import type { SignalSummary } from '../../../../core/result.ts';
import { makeResult, SEASON } from '../season-fixture.ts';

const [usual] = makeResult().summary.signals;

/** What a reader sees, state marks included. */
function shown(changes: Partial<SignalSummary> = {}, system: 'us' | 'metric' = 'us'): string {
  const result = makeResult();
  const summary = { ...result.summary, signals: [{ ...usual, ...changes }] };
  const machines = SEASON.machines.map((machine) => ({
    ...machine,
    paddle: { ...machine.paddle!, count: 61 },
  }));
  const context = { season: { ...SEASON, machines }, result: { ...result, summary }, notices: [], system };
  return signalSection(context)
    .text.replaceAll(/<[^>]*>/g, ' ')
    .replaceAll(/\s+/g, ' ');
}

describe('sensor and logger in the report', () => {
  it('tells the chain in the units of the sheet', () => {
    // 2.032 m/s × 60 / 0.3048 = 400 ft/min
    expect(shown()).toContain('while the elevator runs ● 400 ft/min');
    expect(shown({}, 'metric')).toContain('while the elevator runs ● 2.03 m/s');
  });

  it('tells the empty level as a length on the chain, and marks one that moves', () => {
    // 0.0689, 0.0935 and 0.0738 of a pitch of 203.2 mm
    expect(shown()).toContain(
      '▲ 14.0 mm → 19.0 mm read 9 times while it ran empty; the paddle sheet says 15.0 mm',
    );
    const still = { ...usual.empty_level, last: 0.0691 };
    expect(shown({ empty_level: still })).toContain('● 14.0 mm → 14.0 mm');
    expect(shown({ empty_level: { ...still, method: 'geometry', spells: 0 } })).toContain(
      '▲ 15.0 mm by the paddle sheet: the elevator never ran empty',
    );
    expect(shown({ empty_level: { ...still, method: 'entered', spells: 0 } })).toContain(
      '○ 14.0 mm entered; the paddle sheet says 15.0 mm',
    );
  });

  it('names odd paddles by their place, counted from one', () => {
    // 0.0157 × 203.2 mm
    expect(shown()).toContain('▲ no. 18 (+3.2 mm) of 61');
    expect(shown({ odd_paddles: [] })).toContain('● none seen among 61');
  });

  it('counts what was lost and what was taken away, with the thresholds', () => {
    expect(shown()).toContain('▲ 1,942 of 140,210');
    expect(shown({ missed: 0, hidden: 2 })).toContain('● 2 of 140,210');
    expect(shown()).toContain(
      '● 908 0.6 for every 100 paddles: light shorter than 1.4 to 1.6 ms, dark shorter than 1.3 ms',
    );
    expect(shown({ lit_gaps_bridged: 30_000 })).toContain('▲ 30,096');
  });

  it('tells the clock by the run that is furthest off', () => {
    // 41.9 ppm of 86,400 s
    expect(shown()).toContain(
      '● slow by 3.6 s a day (42 ppm) GPS sentences lag the quickest by 61 to 65 ms, 1 jump, 3 wrong times left out',
    );
    const fast = [{ drift_ppm: -400, delay_ms: 5, leaps: 0, outliers: 1 }];
    expect(shown({ clock: fast })).toContain(
      '▲ fast by 34.6 s a day (400 ppm) GPS sentences lag the quickest by 5 ms, no jumps, 1 wrong time left out',
    );
  });

  it('says where the log does not tell', () => {
    const tally = {
      period_jitter_pct: null,
      slip_pct: null,
      clock: [],
      lit_gaps_bridged: 0,
      dark_blips_dropped: 0,
      bridge_lit_ms: [],
      drop_dark_ms: [],
    };
    expect(shown(tally).match(/○ – the log does not tell/g)).toHaveLength(3);
    expect(shown(tally)).not.toMatch(/NaN|Infinity|undefined/);
  });

  it('is not there for seasons without a beam', () => {
    const result = makeResult();
    const summary = { ...result.summary, signals: [] };
    const context = { season: SEASON, result: { ...result, summary }, notices: [], system: 'us' as const };
    expect(signalSection(context).text).toBe('');
  });
});
