/** The same ground and the same lags, whoever works on the fields. */
import { describe, expect, it } from 'vitest';
import type { MachineRecord } from '../../../core/signal/machine-record.ts';
import { oneByOne } from '../../../core/spread.ts';
import { groundOfFields } from '../../../core/track/field-ground.ts';
import { GROUND_OF_FIELD } from '../../../core/track/ground-of-field.ts';
import { acrossThreads } from '../../../electron/host/field-threads.ts';
import { timedFixes } from '../../core/signal/made-fixes.ts';

const FIELDS = 12;
const FIXES = 240;
const M_DEG = 1 / 111_000;

/** Driving north at 2 m/s through one field after the other, header down all the way but for a moment. */
const record = {
  machine: 0,
  source: 'c1.log',
  fixes: timedFixes(
    Array.from({ length: FIELDS * FIXES }, (_, i) => i),
    {
      latitude_deg: Array.from({ length: FIELDS * FIXES }, (_, i) => 42 + 2 * i * M_DEG),
      longitude_deg: new Array(FIELDS * FIXES).fill(-93),
      speed_m_s: new Array(FIELDS * FIXES).fill(2),
      course_deg: new Array(FIELDS * FIXES).fill(0),
      quality: new Array(FIELDS * FIXES).fill(4),
    },
  ),
  field_hint: new Int32Array(FIELDS * FIXES).fill(-1),
  header: { t_s: Float64Array.of(-10, -5), up: Uint8Array.of(1, 0) },
  grain: { kind: 'paddles' },
} as unknown as MachineRecord;

const boundaries = Array.from({ length: FIELDS }, (_, f) => ({
  source: `${f}.geojson`,
  polygons: [
    [
      Float64Array.of(-1, 0, 1, 0, 1, 1, -1, 1, -1, 0).map((x, k) =>
        k % 2 === 0 ? -93 + 50 * x * M_DEG : 42 + 2 * FIXES * (f + x) * M_DEG,
      ),
    ],
  ],
}));

const season = { machines: [{ header: { width_m: 9 } }] };

describe('work on many fields', () => {
  it('comes to the same in one thread and in several, in the same order', () => {
    const alone = groundOfFields(season, [record], [undefined], boundaries, oneByOne);
    const spread = groundOfFields(season, [record], [undefined], boundaries, acrossThreads);
    expect(alone.fields).toHaveLength(FIELDS);
    expect(spread.fields.map(({ field, plots }) => ({ field, plots }))).toEqual(
      alone.fields.map(({ field, plots }) => ({ field, plots })),
    );
    expect(spread.notices).toEqual(alone.notices);
    // whatever comes back from a thread is not mistaken for work of the next round
    const nine = boundaries.slice(0, 9);
    const again = groundOfFields(season, [record], [undefined], nine, acrossThreads);
    const alone9 = groundOfFields(season, [record], [undefined], nine, oneByOne);
    expect(again.fields.map(({ plots }) => plots)).toEqual(alone9.fields.map(({ plots }) => plots));
  });

  it('is really shared out: while this thread is slow, the others do the most of it', () => {
    let here = 0;
    const slow = {
      name: GROUND_OF_FIELD.name,
      run: (_: unknown, given: { stays: readonly unknown[] }) => {
        here++;
        Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 100);
        return { plots: [], counts: given.stays, antennas: { sideways: [], ahead: [] } };
      },
    };
    const common = { season, records: [] };
    const empty = { origin_deg: [0, 50], outline: undefined, stays: [] };
    const made = acrossThreads(
      slow,
      common,
      new Array(60).fill(() => empty),
    );
    expect(made).toEqual(
      new Array(60).fill({ plots: [], counts: [], antennas: { sideways: [], ahead: [] } }),
    );
    expect(here).toBeLessThan(50);
  });

  it('keeps a fault what it is', () => {
    const broken = {
      name: GROUND_OF_FIELD.name,
      run: () => {
        throw new RangeError('a mistake of ours');
      },
    };
    expect(() =>
      acrossThreads(
        broken,
        undefined,
        new Array(8).fill(() => ({})),
      ),
    ).toThrow('a mistake of ours');
  });
});
