import { describe, expect, it } from 'vitest';
import { ALL_MACHINES } from '../../../core/calibrate/load.ts';
import { fewInGroup, loadGrouping, loadsByGroup } from '../../../core/calibrate/load-groups.ts';
import type { CutField } from '../../../core/calibrate/ticket-claims.ts';
import { madeLoad } from './made-loads.ts';

const field = (name: string, ...bounds_s: number[]) =>
  ({ name, spells: [{ machine: 'c1', bounds_s: Float64Array.from(bounds_s) }] }) as unknown as CutField;
const cut = [field('Home', 0, 1000, 5000, 6000), field('Creek', 1000, 4000)];
const sheets = [{ name: 'Home', variety: 'Alba' }, { name: 'Creek', variety: 'Berta' }, { name: 'Hill' }];
const load = (ticket: string, start_s: number, end_s: number, fieldName?: string) => ({
  ...madeLoad(ticket, 9000, 10_000, 1000, fieldName === undefined ? {} : { field: fieldName }),
  start_s,
  end_s,
});

describe('groups of loads', () => {
  it('go by the variety of the field on the ticket, else of the one that was cut', () => {
    const grouping = loadGrouping({ by: 'variety' }, sheets, cut, 0);
    expect(grouping?.ofLoad(load('A', 0, 900, 'Creek'))).toBe('Berta');
    expect(grouping?.ofLoad(load('B', 500, 3000))).toBe('Berta');
    expect(grouping?.ofLoad({ ...load('B', 500, 1200), machine: ALL_MACHINES })).toBe('Alba');
    expect(grouping?.ofLoad(load('C', 0, 900, 'Hill'))).toBeUndefined();
    const mixed = load('D', 0, 900, 'Home');
    expect(
      grouping?.ofLoad({ ...mixed, tickets: [...mixed.tickets, ...load('D', 0, 9, 'Creek').tickets] }),
    ).toBeUndefined();
    expect(grouping?.ofField('c1', 'Home')).toBe('Alba');
    expect(loadGrouping(undefined, sheets, cut, 0)).toBeUndefined();
  });

  it('go by the period of the middle of load and field, splits in any order', () => {
    const splits_utc = ['1970-01-01T01:30:00Z', '1970-01-01T00:20:00Z'];
    const grouping = loadGrouping({ by: 'period', splits_utc }, sheets, cut, 0);
    const [late, early] = splits_utc;
    expect(grouping?.ofLoad(load('A', 0, 1000))).toBe(`to ${early}`);
    expect(grouping?.ofLoad(load('B', 1000, 1600))).toBe(`from ${early} to ${late}`);
    expect(grouping?.ofLoad(load('C', 5300, 5600))).toBe(`from ${late}`);
    // 2000 s in Home: the middle is the end of its first spell
    expect(grouping?.ofField('c1', 'Home')).toBe(`to ${early}`);
    expect(grouping?.ofField('c1', 'Creek')).toBe(`from ${early} to ${late}`);
    expect(grouping?.ofField('c2', 'Home')).toBeUndefined();
  });

  it('leave out what belongs to none, and say how many are missing', () => {
    const grouping = loadGrouping({ by: 'variety' }, sheets, cut, 0);
    if (grouping === undefined) throw new Error('no grouping');
    const loads = [load('A', 0, 9, 'Home'), load('B', 0, 9, 'Hill'), load('C', 0, 9, 'Home')];
    expect([...loadsByGroup(loads, grouping)].map(([group, own]) => [group, own.length])).toEqual([
      ['Alba', 2],
    ]);
    expect(fewInGroup('c1, corn', 'Alba', 2).text).toBe(
      'c1, corn: "Alba" has 2 loads; a calibration of its own needs 3. The one of all loads of that machine and crop is used for it.',
    );
  });
});
