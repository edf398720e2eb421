import { describe, expect, it } from 'vitest';
import type { FlowLogColumns } from '../../../core/read/logger-run.ts';
import { machineFromFlows } from '../../../core/signal/machine-from-flows.ts';

const NAN = Number.NaN;
const CONTEXT = { machine: 0, epoch_utc_s: 1000, fields: ['Home', 'Mill'] };

function flow(source: string, t: readonly number[], known: Partial<FlowLogColumns> = {}): FlowLogColumns {
  const of = (x: number) => new Float64Array(t.length).fill(x);
  return {
    source,
    utc_s: Float64Array.from(t, (s) => 1000 + s),
    interval_s: of(1),
    latitude_deg: of(42),
    longitude_deg: of(-93),
    altitude_m: of(NAN),
    mass_flow_kg_s: Float64Array.from(t),
    volume_flow_m3_s: of(NAN),
    distance_m: of(2),
    speed_m_s: of(2),
    swath_m: of(9),
    heading_deg: of(90),
    moisture_pct: of(17),
    up: of(0),
    quality: of(4),
    ...known,
  };
}

function recordOf(parts: readonly { columns: FlowLogColumns; field: number }[]) {
  const result = machineFromFlows(parts, CONTEXT);
  if (!result.ok || result.value.grain.kind !== 'flow') throw new Error('no flow');
  return { record: result.value, records: result.value.grain.records, notices: result.notices };
}

describe('machine from flow logs', () => {
  it('lays logs by field into each other, each row with its own numbers and field', () => {
    const { record, records } = recordOf([
      { columns: flow('home.csv', [1, 2, 9000]), field: 0 },
      { columns: flow('mill.csv', [4000, 4001]), field: 1 },
    ]);
    expect([...records.t_s]).toEqual([1, 2, 4000, 4001, 9000]);
    expect([...records.columns.mass_flow_kg_s]).toEqual([1, 2, 4000, 4001, 9000]);
    expect([...record.field_hint]).toEqual([0, 0, 1, 1, 0]);
    expect(record.fixes.t_s).toBe(records.t_s);
    expect([...record.fixes.course_deg]).toEqual([90, 90, 90, 90, 90]);
  });

  it('gives a row to the field that it names, else to that of its log', () => {
    const { record } = recordOf([
      { columns: flow('a.csv', [1, 2, 3], { field: ['MILL', 'unknown', 'Home'] }), field: -1 },
    ]);
    expect([...record.field_hint]).toEqual([1, -1, 0]);
  });

  it('goes on after intervals that are missing or negative, with the usual one', () => {
    const interval_s = Float64Array.of(2, NAN, -1, 2);
    const { records } = recordOf([{ columns: flow('a.csv', [1, 3, 5, 7], { interval_s }), field: -1 }]);
    expect([...records.interval_s]).toEqual([2, 2, 2, 2]);
    expect([...records.t_s]).toEqual([1, 3, 5, 7]);
    const lone = recordOf([{ columns: flow('a.csv', [1], { interval_s: Float64Array.of(NAN) }), field: -1 }]);
    expect([...lone.records.interval_s]).toEqual([0]);
  });

  it('counts backward steps, and is not pushed years ahead by one wild time', () => {
    const stepped = recordOf([{ columns: flow('a.csv', [1, 2, 1, 2]), field: -1 }]);
    expect([...stepped.records.t_s]).toEqual([1, 2, 3, 4]);
    expect(stepped.notices[0]).toMatchObject({ code: 'time_ran_backwards', count: 1 });
    const wild = recordOf([{ columns: flow('a.csv', [1, 2, 9e8, 4, 5, 6]), field: -1 }]);
    expect([...wild.records.t_s]).toEqual([1, 2, 3, 4, 5, 6]);
    expect(wild.notices).toEqual([]);
  });

  it('adds up kilograms and names logs that hold only a volume beside them', () => {
    const nothing = new Float64Array(2).fill(NAN);
    const litres = flow('v.csv', [10, 11], {
      mass_flow_kg_s: nothing,
      volume_flow_m3_s: Float64Array.of(0.01, 0.01),
    });
    expect(recordOf([{ columns: litres, field: -1 }]).notices).toEqual([]);
    const { notices } = recordOf([
      { columns: litres, field: -1 },
      { columns: flow('m.csv', [1, 2]), field: -1 },
    ]);
    expect(notices).toEqual([expect.objectContaining({ code: 'volume_beside_mass', source: 'v.csv' })]);
  });
});
