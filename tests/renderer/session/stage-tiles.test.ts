import { describe, expect, it } from 'vitest';
import type { HealthDay, SignalSummary } from '../../../core/result.ts';
import { stageTiles } from '../../../renderer/session/stage-tiles.ts';
import { SEASON, summaryOf } from './stand-in-host.ts';

const SIGNAL = {
  machine: 'c1',
  empty_level: { method: 'measured', spells: 3, first: 0.06, last: 0.061, geometry: 0.06 },
  odd_paddles: [],
  paddles: 1000,
  missed: 0,
  hidden: 0,
} as unknown as SignalSummary;

function day(verdict: 'look' | 'mend'): HealthDay {
  const alert = { code: 'empty_level_drift', verdict, text: '', effect_pct: 2, effect_kg: 100 };
  return { machine: 'c1', day: '2026-09-14', alerts: [alert] } as unknown as HealthDay;
}

describe('the tile of the fill', () => {
  const fill = (health: readonly HealthDay[]) =>
    stageTiles(SEASON, { ...summaryOf(1000), signals: [SIGNAL], health }, 'us').find(
      ({ stage }) => stage === 'fill',
    );

  it('shows the gravest of what the sensor’s days say', () => {
    expect(fill([])).toMatchObject({ state: 'good', below: 'empty, measured' });
    expect(fill([day('look')])).toMatchObject({ state: 'look', below: '1 day to look at' });
    expect(fill([day('look'), day('mend')])).toMatchObject({ state: 'mend', below: '2 days to look at' });
  });
});
