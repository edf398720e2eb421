import { describe, expect, it } from 'vitest';
import type { TallyColumns } from '../../../core/read/logger-run.ts';
import { clockFromAnchor } from '../../../core/signal/clock.ts';
import { machineFromTallies, type TallyContext } from '../../../core/signal/machine-from-tallies.ts';
import { timedFixes } from './made-fixes.ts';

const NAN = Number.NaN;
const CONTEXT: TallyContext = { machine: 0, epoch_utc_s: 1000, fixes: undefined, clocks: [] };

type Row = {
  readonly t?: number;
  readonly tick_s?: number;
  readonly paddles?: number;
  readonly dark_s?: number;
  readonly lat?: number;
  readonly up?: number;
};

function tally(source: string, rows: readonly Row[]): TallyColumns {
  const column = (of: (row: Row) => number | undefined) => Float64Array.from(rows, (row) => of(row) ?? NAN);
  return {
    source,
    utc_s: column(({ t }) => (t === undefined ? undefined : 1000 + t)),
    tick_us: column(({ tick_s }) => (tick_s === undefined ? undefined : 1e6 * tick_s)),
    paddles: column(({ paddles }) => paddles ?? 10),
    dark_s: column(({ dark_s }) => dark_s ?? 0.3),
    moisture_pct: column(() => 17),
    up: column(({ up }) => up),
    latitude_deg: column(({ lat }) => lat),
    longitude_deg: column(({ lat }) => lat),
    speed_m_s: column(() => 2),
    course_deg: column(() => 0),
  };
}

function recordOf(parts: readonly { columns: TallyColumns; field: number }[], context = CONTEXT) {
  const result = machineFromTallies(parts, context);
  if (!result.ok) throw new Error(result.error.text);
  if (result.value.grain.kind !== 'paddles') throw new Error('no paddles');
  return {
    record: result.value,
    paddles: result.value.grain.paddles,
    codes: result.notices.map(({ code }) => code),
  };
}
const part = (columns: TallyColumns, field = -1) => ({ columns, field });

describe('machine from tally rows', () => {
  it('reads chain and darkness of each interval; the first has the usual length', () => {
    const { record, paddles } = recordOf([
      part(
        tally('a.csv', [
          { t: 10, lat: 42 },
          { t: 12, lat: 42, paddles: 20, dark_s: 0.5 },
        ]),
        1,
      ),
    ]);
    expect([...paddles.t_s]).toEqual([8, 10, 12]);
    expect([...paddles.period_s]).toEqual([NAN, 2, 2]);
    expect([...paddles.slots]).toEqual([1, 10, 20]);
    expect([...paddles.dark_fraction]).toEqual([NAN, 0.15, 0.25]);
    expect([...record.field_hint]).toEqual([1, 1]);
    expect([...record.moisture.moisture_pct]).toEqual([17, 17]);
  });

  it('spreads the row after a pause over its own interval only', () => {
    const { paddles } = recordOf([
      part(
        tally(
          'a.csv',
          [1, 2, 3, 60, 61].map((t) => ({ t, lat: 42 })),
        ),
      ),
    ]);
    expect([...paddles.t_s]).toEqual([0, 1, 2, 3, 59, 60, 61]);
    expect(paddles.period_s[4]).toBeNaN();
    expect(paddles.period_s[5]).toBe(1);
  });

  it('has no period where no paddle passed', () => {
    const { paddles } = recordOf([
      part(
        tally('a.csv', [
          { t: 1, lat: 42 },
          { t: 2, lat: 42, paddles: 0, dark_s: 0 },
        ]),
      ),
    ]);
    expect(paddles.period_s[2]).toBeNaN();
    expect(paddles.slots[2]).toBe(1);
  });

  it('lays logs by field into each other and counts rows of a time that is taken', () => {
    const rows = (...t: number[]) => t.map((s) => ({ t: s, lat: 42 }));
    const { record, paddles, codes } = recordOf([
      part(tally('a.csv', rows(1, 2, 9000, 9001)), 0),
      part(tally('b.csv', rows(4000, 4001, 4001)), 1),
    ]);
    expect([...record.fixes.t_s]).toEqual([1, 2, 4000, 4001, 9000, 9001]);
    expect([...record.field_hint]).toEqual([0, 0, 1, 1, 0, 0]);
    expect(paddles.t_s).toHaveLength(9);
    expect(codes).toEqual(['rows_out_of_time']);
    expect(record.source).toBe('a.csv, b.csv');
  });

  it('is not undone by one wild time', () => {
    const rows = [1, 2, 9e6, 4, 5, 6].map((t) => ({ t, lat: 42 }));
    expect([...recordOf([part(tally('a.csv', rows))]).record.fixes.t_s]).toEqual([1, 2, 4, 5, 6]);
  });

  it('takes clock and positions from the files beside it', () => {
    const beside = {
      fixes: timedFixes([100, 101], { latitude_deg: [42, 42] }),
      field_hint: Int32Array.of(2, 2),
    };
    const clocks = [
      { clock: clockFromAnchor(0, 1000), first_us: 0, last_us: 50e6 },
      { clock: clockFromAnchor(0, 1500), first_us: 90e6, last_us: 200e6 },
    ];
    const { record } = recordOf([part(tally('a.csv', [{ tick_s: 100 }, { tick_s: 101 }]), 7)], {
      ...CONTEXT,
      fixes: beside,
      clocks,
    });
    expect([...record.moisture.t_s]).toEqual([600, 601]);
    expect(record.fixes).toBe(beside.fixes);
    expect([...record.field_hint]).toEqual([2, 2]);
  });

  it('keeps the header where it is logged', () => {
    const { record } = recordOf([
      part(
        tally('a.csv', [
          { t: 1, lat: 42, up: 1 },
          { t: 2, lat: 42 },
          { t: 3, lat: 42, up: 0 },
        ]),
      ),
    ]);
    expect([...record.header.t_s]).toEqual([1, 3]);
    expect([...record.header.up]).toEqual([1, 0]);
  });

  it('says what is lacking', () => {
    const counted = machineFromTallies([part(tally('a.csv', [{ tick_s: 1 }]))], CONTEXT);
    expect(counted.ok ? '' : counted.error.code).toBe('no_time');
    const placeless = machineFromTallies([part(tally('a.csv', [{ t: 1 }]))], CONTEXT);
    expect(placeless.ok ? '' : placeless.error.code).toBe('no_fixes');
  });
});
