import { describe, expect, it } from 'vitest';
import { bandLanes, dragged } from '../../../renderer/timeline/load-bands.ts';
import {
  firstAtOrAfter,
  gatherTraces,
  nearestInTime,
  selectedStretches,
} from '../../../renderer/timeline/traces.ts';
import { fieldOf } from '../map/columns.ts';

describe('traces', () => {
  it('follow each machine through its fields in the order of time', async () => {
    const home = fieldOf(4, { t_s: [10, 11, 12, 13], machine: [0, 1, 0, 1] });
    const away = fieldOf(3, { t_s: [0, 1, 20], machine: [0, 0, 0], screened_by: [0, 4, 0] });
    const { machines, tracks, axis } = await gatherTraces([home, away], ['yield', 'speed'], null);
    expect(machines.map(({ t_s }) => [...t_s])).toEqual([
      [0, 1, 10, 12, 20],
      [11, 13],
    ]);
    expect([...machines[0].field]).toEqual([1, 1, 0, 0, 1]);
    expect([...machines[0].row]).toEqual([0, 1, 0, 2, 2]);
    expect(axis.spells).toHaveLength(1);
    const [yields, speeds] = tracks;
    expect([...yields.traces[0].numbers]).toEqual([1, Number.NaN, 1, 1, 1]);
    expect(speeds.low).toBe(0);
    expect(speeds.high).toBeGreaterThan(2);
  });

  it('leave a track out that has nothing to show, and show empty levels where they were read', async () => {
    const home = fieldOf(2);
    const empties = { t_s: Float64Array.of(0, 5), dark_fraction: Float64Array.of(0.05, 0.06) };
    const without = await gatherTraces([home], ['speed', 'empty_level'], null);
    expect(without.tracks.map(({ track }) => track)).toEqual(['speed']);
    const { tracks } = await gatherTraces([home], ['empty_level'], empties);
    expect(tracks[0].traces[0].place).toBe(-1);
  });

  it('tell when something is selected, each machine for itself', async () => {
    const home = fieldOf(6, { t_s: [0, 1, 2, 3, 4, 5], machine: [0, 1, 0, 1, 0, 0] });
    const { machines } = await gatherTraces([home], ['speed'], null);
    expect([...selectedStretches(machines, Uint8Array.of(1, 0, 1, 1, 0, 1))]).toEqual([0, 2, 5, 5, 3, 3]);
    expect(selectedStretches(machines, null)).toHaveLength(0);
  });

  it('find rows by time', () => {
    const t_s = Float64Array.of(0, 10, 20);
    expect([-1, 0, 4, 6, 19, 99].map((moment) => nearestInTime(t_s, moment))).toEqual([0, 0, 0, 1, 2, 2]);
    expect([-1, 0, 1, 20, 21].map((moment) => firstAtOrAfter(t_s, moment))).toEqual([0, 0, 1, 2, 3]);
    expect(nearestInTime(new Float64Array(0), 3)).toBe(-1);
  });
});

describe('bands of loads', () => {
  const band = (load: number, start_s: number, end_s: number, machine?: string) => ({
    load,
    ticket: `${load}`,
    start_s,
    end_s,
    machine,
  });

  it('never lie on one another', () => {
    expect(bandLanes([band(0, 0, 10), band(1, 10, 20), band(2, 5, 12), band(3, 11, 30)])).toEqual([
      0, 0, 1, 2,
    ]);
  });

  it('keep to the lanes of their machine', () => {
    expect(
      bandLanes([band(0, 0, 10, 'c1'), band(1, 12, 20, 'c2'), band(2, 21, 30, 'c1'), band(3, 15, 40, 'c2')]),
    ).toEqual([0, 1, 0, 3]);
  });

  it('move by one end or whole, and an end never passes the other', () => {
    const same = (x: number) => x;
    const whole = { start_s: 10, end_s: 20 };
    expect(dragged(whole, 'start', same, 0, 4, same)).toEqual({ start_s: 14, end_s: 20 });
    expect(dragged(whole, 'start', same, 0, 40, same)).toEqual({ start_s: 20, end_s: 20 });
    expect(dragged(whole, 'end', same, 0, -40, same)).toEqual({ start_s: 10, end_s: 10 });
    expect(dragged(whole, 'whole', same, 5, 8, same)).toEqual({ start_s: 13, end_s: 23 });
  });
});
