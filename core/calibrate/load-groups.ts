/** Loads and fields of one machine and crop set apart by variety or by period, where the sheet asks for it. */
import type { GroupsSheet } from '../calibration-sheet.ts';
import type { Notice } from '../errors.ts';
import { timeFromIso } from '../read/utc.ts';
import type { FieldSheet } from '../season.ts';
import { ALL_MACHINES, type Load } from './load.ts';
import type { CutField } from './ticket-claims.ts';

/** A group with fewer loads has no calibration of its own: two give a gain, and nothing to tell which is wrong (ours). */
export const LEAST_GROUP_LOADS = 3;

/** Which group loads and fields belong to; `undefined` for what belongs to none. */
export interface LoadGrouping {
  readonly ofLoad: (load: Load) => string | undefined;
  /** Of what a machine cut of a field. */
  readonly ofField: (machine: string, field: string) => string | undefined;
}

/** The grouping that a sheet asks for; `undefined` when it asks for none. */
export function loadGrouping(
  sheet: GroupsSheet | undefined,
  sheets: readonly Pick<FieldSheet, 'name' | 'variety'>[],
  cut: readonly CutField[],
  epoch_utc_s: number,
): LoadGrouping | undefined {
  if (sheet === undefined) return undefined;
  return sheet.by === 'variety' ? byVariety(sheets, cut) : byPeriod(sheet.splits_utc ?? [], cut, epoch_utc_s);
}

/** A load's variety is that of the fields on its tickets, else of the field in which most of its time was cut. */
function byVariety(
  sheets: readonly Pick<FieldSheet, 'name' | 'variety'>[],
  cut: readonly CutField[],
): LoadGrouping {
  const varieties = new Map(sheets.map(({ name, variety }) => [name, variety]));
  return {
    ofLoad: (load) => {
      const named = load.tickets.flatMap(({ field }) => (field === undefined ? [] : [field]));
      const fields = named.length > 0 ? named : mostlyCut(load, cut);
      const found = new Set(fields.map((field) => varieties.get(field)));
      return found.size === 1 ? [...found][0] : undefined;
    },
    ofField: (_, field) => varieties.get(field),
  };
}

/** A load, or a machine's share of a field, belongs to the period in which the middle of its time lies. */
function byPeriod(
  splits_utc: readonly string[],
  cut: readonly CutField[],
  epoch_utc_s: number,
): LoadGrouping {
  const splits = splits_utc
    .map((text) => ({ text, at_s: (timeFromIso(text)?.utc_s ?? Number.NaN) - epoch_utc_s }))
    .sort((a, b) => a.at_s - b.at_s);
  const periodAt = (at_s: number): string | undefined => {
    if (!Number.isFinite(at_s)) return undefined;
    const next = splits.findIndex((split) => split.at_s > at_s);
    const [from, to] = next < 0 ? [splits.at(-1), undefined] : [splits[next - 1], splits[next]];
    return [from && `from ${from.text}`, to && `to ${to.text}`].filter(Boolean).join(' ') || undefined;
  };
  return {
    ofLoad: ({ start_s, end_s }) => periodAt((start_s + end_s) / 2),
    ofField: (machine, field) =>
      periodAt(
        middleOf(
          boundsOf(
            cut.find(({ name }) => name === field),
            machine,
          ),
        ),
      ),
  };
}

function mostlyCut(load: Load, cut: readonly CutField[]): string[] {
  let most_s = 0;
  let best: string[] = [];
  for (const field of cut) {
    const bounds_s = boundsOf(field, load.machine);
    let shared_s = 0;
    for (let i = 0; i + 1 < bounds_s.length; i += 2)
      shared_s += Math.max(0, Math.min(load.end_s, bounds_s[i + 1]) - Math.max(load.start_s, bounds_s[i]));
    if (shared_s <= most_s) continue;
    most_s = shared_s;
    best = [field.name];
  }
  return best;
}

/** Starts and ends of a machine's spells in a field, one after the other. */
function boundsOf(field: CutField | undefined, machine: string): readonly number[] {
  const own = field?.spells.filter((spells) => machine === ALL_MACHINES || spells.machine === machine) ?? [];
  return own.flatMap(({ bounds_s }) => [...bounds_s]);
}

/** Moment before and after which as much time was spent in spells; NaN without any. */
function middleOf(bounds_s: readonly number[]): number {
  let left_s = 0;
  for (let i = 0; i + 1 < bounds_s.length; i += 2) left_s += (bounds_s[i + 1] - bounds_s[i]) / 2;
  for (let i = 0; i + 1 < bounds_s.length; i += 2) {
    const spell_s = bounds_s[i + 1] - bounds_s[i];
    if (left_s <= spell_s) return bounds_s[i] + left_s;
    left_s -= spell_s;
  }
  return Number.NaN;
}

/** Loads of one machine and crop by group; those of no group are left out. */
export function loadsByGroup(loads: readonly Load[], grouping: LoadGrouping): Map<string, Load[]> {
  const groups = new Map<string, Load[]>();
  for (const load of loads) {
    const group = grouping.ofLoad(load);
    if (group !== undefined) groups.set(group, [...(groups.get(group) ?? []), load]);
  }
  return groups;
}

/** Said of a group without a calibration of its own. */
export function fewInGroup(source: string, group: string, loads: number): Notice {
  const has = loads === 0 ? 'no load' : loads === 1 ? 'one load' : `${loads} loads`;
  const text = `${source}: "${group}" has ${has}; a calibration of its own needs ${LEAST_GROUP_LOADS}. The one of all loads of that machine and crop is used for it.`;
  return { code: 'group_few_loads', severity: 'look', source, count: 1, text };
}
