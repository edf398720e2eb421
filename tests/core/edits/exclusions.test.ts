import { describe, expect, it } from 'vitest';
import { applyEdit } from '../../../core/edits.ts';
import type { Exclusion, Season } from '../../../core/season.ts';

const season: Season = {
  format: 'sheaflight-season/1',
  name: 'Kestrel Flats 2026',
  machines: [
    {
      id: 'c1',
      name: 'combine 1',
      paddle: { pitch_mm: 203.2, width_mm: 260, depth_mm: 150, thickness_mm: 10 },
      header: { width_m: 9.144 },
    },
  ],
  fields: [{ name: 'Home', crop: 'corn' }],
  logs: [],
};
const around: Exclusion['around'] = [
  [10, 50],
  [10.001, 50],
  [10.001, 50.001],
];

function edited(from: Season, edit: Parameters<typeof applyEdit>[1]) {
  const change = applyEdit(from, edit);
  if (!change.ok) throw new Error(change.error.text);
  return change.value;
}

describe('exclusions by hand', () => {
  it('are added under a readable name and taken in again', () => {
    const first = edited(season, { kind: 'exclude', exclusion: { field: 'Home', around } });
    expect(first.name).toBe('Ground in Home left out by hand');
    const second = edited(first.season, {
      kind: 'exclude',
      exclusion: { machine: 'c1', from: '2026-09-01T10:00:00Z', to: '2026-09-01T10:05:00Z', why: 'plugged' },
    });
    expect(second.name).toBe('A span of time of combine 1 left out by hand');
    expect(second.season.settings?.exclusions).toHaveLength(2);
    const back = edited(second.season, { kind: 'readmit', index: 0 });
    expect(back.name).toBe('Ground in Home taken in again');
    expect(back.season.settings?.exclusions?.[0].why).toBe('plugged');
    expect(edited(back.season, { kind: 'readmit', index: 0 }).season.settings).toBeUndefined();
  });

  it('follow their field and machine when those are renamed, and go with them', () => {
    const { season: both } = edited(season, {
      kind: 'exclude',
      exclusion: { field: 'Home', machine: 'c1', around },
    });
    const { season: renamed } = edited(both, {
      kind: 'change_field',
      name: 'Home',
      change: { name: 'North' },
    });
    expect(renamed.settings?.exclusions?.[0].field).toBe('North');
    const { season: other } = edited(renamed, { kind: 'change_machine', id: 'c1', change: { id: 'big' } });
    expect(other.settings?.exclusions?.[0].machine).toBe('big');
    const two = edited(other, { kind: 'add_field', field: { name: 'South', crop: 'corn' } }).season;
    expect(edited(two, { kind: 'remove_field', name: 'North' }).season.settings).toBeUndefined();
  });

  it('are refused without place and time, with too few corners, or for what is not there', () => {
    const refusal = (exclusion: Exclusion) => {
      const change = applyEdit(season, { kind: 'exclude', exclusion });
      return change.ok ? 'taken' : change.error.text;
    };
    expect(refusal({ field: 'Home' })).toMatch(/place \("around"\) or a time/);
    expect(refusal({ around: around.slice(0, 2) })).toMatch(/at least three corners/);
    expect(refusal({ field: 'Hmoe', around })).toMatch(/did you mean "Home"/);
    expect(refusal({ from: '2026-09-02T00:00:00Z', to: '2026-09-01T00:00:00Z' })).toMatch(/exchange the two/);
    const none = applyEdit(season, { kind: 'readmit', index: 0 });
    expect(none.ok ? '' : none.error.text).toMatch(/no exclusion number 1/);
  });
});
