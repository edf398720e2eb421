import { describe, expect, it } from 'vitest';
import { reviewTimes } from '../../../core/import/time-review.ts';
import { fieldSamples, roadSamples, tickLog } from './made-logs.ts';

const START = Date.parse('2026-10-05T15:00:00Z') / 1000;
const field = (start_s: number) => fieldSamples(start_s, { east_m: 0, north_m: 0, width_m: 27 });
const LENGTH_S = (() => {
  const { utc_s } = field(0);
  return utc_s[utc_s.length - 1];
})();
const log = (id: string, start_s: number) => tickLog(id, field(start_s), 1e6 * start_s);

describe('times of one machine', () => {
  it('a gap of five minutes during work is told, in whichever order the files stand', () => {
    const { gaps, overlaps } = reviewTimes('c1', [log('b', START + LENGTH_S + 300), log('a', START)]);
    expect(gaps).toEqual([
      { machine: 'c1', from_utc_s: START + LENGTH_S, to_utc_s: START + LENGTH_S + 300, files: ['a', 'b'] },
    ]);
    expect(overlaps).toEqual([]);
  });

  it('two minutes, nights, and gaps beside which the machine stood are none', () => {
    expect(reviewTimes('c1', [log('a', START), log('b', START + LENGTH_S + 119)]).gaps).toEqual([]);
    expect(reviewTimes('c1', [log('a', START), log('b', START + LENGTH_S + 12 * 3600)]).gaps).toEqual([]);
    const still = tickLog('b', roadSamples(START + LENGTH_S + 300, [0, 0], [60, 0], 0.1), 5e6);
    expect(reviewTimes('c1', [log('a', START), still]).gaps).toEqual([]);
  });

  it('an overlap is told with its length, beam and fixes of one logger being none', () => {
    const { overlaps } = reviewTimes('c1', [log('a', START), log('b', START + LENGTH_S - 60)]);
    expect(overlaps).toEqual([
      { machine: 'c1', from_utc_s: START + LENGTH_S - 60, to_utc_s: START + LENGTH_S, files: ['a', 'b'] },
    ]);
    const fixes = { ...log('fixes', START), hasGrain: false };
    const beam = { ...log('beam', START), hasFixes: false };
    expect(reviewTimes('c1', [fixes, beam])).toEqual({ gaps: [], overlaps: [] });
  });

  it('a file within another hides no gap behind it', () => {
    const long = tickLog('long', fieldSamples(START, { east_m: 0, north_m: 0 }), 1e6);
    const inner = log('inner', START + 60);
    const next = log('next', long.last_utc_s + 300);
    expect(reviewTimes('c1', [next, inner, long]).gaps.map(({ files }) => files)).toEqual([['long', 'next']]);
  });
});
