import { describe, expect, it } from 'vitest';
import type { FlowLogColumns } from '../../../core/read/logger-run.ts';
import { forwardClock, passageFromRecords, runningFromRecords } from '../../../core/signal/flow-records.ts';
import { amountBetween } from '../../../core/signal/grain-passage.ts';

const NAN = Number.NaN;
const clock = (utc_s: number[], interval_s: number[], origin_s = 0) =>
  forwardClock(Float64Array.from(utc_s), Float64Array.from(interval_s), origin_s);

function records(t_s: number[], interval_s: number[], mass: number[], volume: number[] = []) {
  return {
    columns: {
      mass_flow_kg_s: Float64Array.from(mass),
      volume_flow_m3_s: Float64Array.from(volume),
    } as unknown as FlowLogColumns,
    t_s: Float64Array.from(t_s),
    interval_s: Float64Array.from(interval_s),
  };
}

describe('clock of flow records', () => {
  it('is the logged time where that runs on', () => {
    expect(clock([100, 101, 110], [1, 1, 1], 90)).toEqual({ t_s: Float64Array.of(10, 11, 20), backward: 0 });
  });

  it('pushes rows after a backward step on until a pause absorbs it', () => {
    const { t_s, backward } = clock([10, 11, 9, 10, 20, 21], [1, 1, 1, 1, 1, 1]);
    expect([...t_s]).toEqual([10, 11, 12, 13, 20, 21]);
    expect(backward).toBe(1);
  });

  it('does not call equal stamps of a fast log a step backwards', () => {
    const { t_s, backward } = clock([10, 10, 11, 11], [0.5, 0.5, 0.5, 0.5]);
    expect([...t_s]).toEqual([10, 10.5, 11, 11.5]);
    expect(backward).toBe(0);
  });

  it('times rows without time by their neighbours, forward and at the start backward', () => {
    expect([...clock([NAN, NAN, 20, NAN, 22], [1, 2, 3, 1, 1]).t_s]).toEqual([15, 17, 20, 21, 22]);
    expect([...clock([NAN], [1]).t_s]).toEqual([NAN]);
    expect(clock([], []).t_s).toHaveLength(0);
  });
});

describe('grain of flow records', () => {
  it('is spread over each record, with nothing in the pause', () => {
    const passage = passageFromRecords(records([1, 2, 10], [1, 1, 2], [3, 5, 4]));
    expect([...passage.t_s]).toEqual([0, 1, 2, 8, 10]);
    expect([...passage.cumulative]).toEqual([0, 3, 8, 8, 16]);
    expect(passage.basis).toBe('mass');
    expect(amountBetween(passage, 1.5, 9)).toBeCloseTo(2.5 + 4, 12);
    expect([...runningFromRecords(records([1, 2, 10], [1, 1, 2], [3, 5, 4])).cumulative_s]).toEqual([
      0, 1, 2, 2, 4,
    ]);
  });

  it('takes volume where no mass is known, and unknown flow or length for none', () => {
    const passage = passageFromRecords(records([1, 2, 3], [1, 0, 1], [NAN, NAN, NAN], [0.01, 0.5, NAN]));
    expect(passage.basis).toBe('volume');
    expect([...passage.t_s]).toEqual([0, 1, 2, 3]);
    expect([...passage.cumulative]).toEqual([0, 0.01, 0.01, 0.01]);
  });

  it('of no record is none', () => {
    expect(passageFromRecords(records([], [], [], [])).t_s).toHaveLength(0);
  });
});
