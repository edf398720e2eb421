/** Edits of settings: everything that the program finds by itself or has a default for, overruled by hand, and back. */
import { type Result, success } from '../errors.ts';
import { timeFromIso } from '../read/utc.ts';
import type { Exclusion, LagSheet, LoadChoice, ScreeningRule, Season, SettingsSheet } from '../season.ts';
import type { SurfaceSheet } from '../surface/surface-sheet.ts';
import { type Change, counted, patchName, refused } from './change.ts';
import { type JsonObject, mergePatch, withoutEmptyParts } from './merge-patch.ts';
import type { CalibrationLists, LagNumbers, Patch } from './season-edit.ts';

export function setSignal(
  season: Season,
  change: Patch<NonNullable<SettingsSheet['signal']>>,
): Result<Change> {
  return settingsChange(season, { signal: change }, patchName(change as JsonObject, 'the signal'));
}

export function setCutWidth(
  season: Season,
  change: Patch<NonNullable<SettingsSheet['cut_width']>>,
): Result<Change> {
  return settingsChange(season, { cut_width: change }, patchName(change as JsonObject, 'the cut width'));
}

/** "Unsmearing switched on", "Unsmearing in 5 rounds" */
export function setUnsmear(
  season: Season,
  change: Patch<NonNullable<SettingsSheet['unsmear']>>,
): Result<Change> {
  const { on, iterations } = change;
  const rounds = iterations === null ? 'in the default number of rounds' : `in ${iterations} rounds`;
  const name =
    on !== undefined
      ? `Unsmearing switched ${on === true ? 'on' : 'off'}`
      : iterations !== undefined
        ? `Unsmearing ${rounds}`
        : 'Nothing changed in unsmearing';
  return settingsChange(season, { unsmear: change }, name);
}

/** How surfaces are made; `null` as the change: everything found from the data again. */
export function setSurface(season: Season, change: Patch<SurfaceSheet> | null): Result<Change> {
  if (change === null) return settingsChange(season, { surface: null }, 'Surfaces found from the data again');
  const surface = change as JsonObject;
  return settingsChange(season, { surface }, patchName(surface, 'the surfaces'));
}

export function setPointInterval(season: Season, interval_s: number | null): Result<Change> {
  const name = interval_s === null ? 'Points at the default interval again' : `Points every ${interval_s} s`;
  return settingsChange(season, { point_interval_s: interval_s }, name);
}

/** The entry of exactly this field and machine; an entry that is left without a number goes. */
export function setLag(
  season: Season,
  of: { readonly field?: string; readonly machine?: string },
  change: Patch<LagNumbers>,
): Result<Change> {
  const lags = season.settings?.lags ?? [];
  const index = lags.findIndex((lag) => lag.field === of.field && lag.machine === of.machine);
  const scope: LagSheet = {
    ...(of.field === undefined ? {} : { field: of.field }),
    ...(of.machine === undefined ? {} : { machine: of.machine }),
  };
  const merged = mergePatch(
    (index < 0 ? scope : lags[index]) as JsonObject,
    change as JsonObject,
  ) as LagSheet;
  const { field: _field, machine: _machine, ...numbers } = merged;
  const isEmpty = Object.keys(numbers).length === 0;
  const others = lags.filter((_, i) => i !== index);
  const after = isEmpty ? others : index < 0 ? [...lags, merged] : lags.with(index, merged);
  return settingsChange(season, { lags: after }, lagName(season, of, change));
}

export function setRule(
  season: Season,
  rule: ScreeningRule,
  change: { readonly [number: string]: number | boolean | null },
): Result<Change> {
  const words = `rule "${rule.replaceAll('_', ' ')}"`;
  const onlyOn = Object.keys(change).length === 1 && typeof change.on === 'boolean';
  const name = onlyOn
    ? `Rule ${words.slice(5)} switched ${change.on ? 'on' : 'off'}`
    : patchName(change, words);
  return settingsChange(season, { screening: { [rule]: change } }, name);
}

export function resetRules(season: Season): Result<Change> {
  return settingsChange(season, { screening: null }, 'All screening rules at their defaults again');
}

/** "Ground left out by hand in Home", "What combine 1 cut in a span of time left out by hand in Home" */
export function exclude(season: Season, exclusion: Exclusion): Result<Change> {
  const exclusions = [...(season.settings?.exclusions ?? []), exclusion];
  return settingsChange(season, { exclusions }, `${exclusionName(season, exclusion)} left out by hand`);
}

export function readmit(season: Season, index: number): Result<Change> {
  const exclusions = season.settings?.exclusions ?? [];
  const exclusion = exclusions[index];
  if (exclusion === undefined) {
    const count = counted(exclusions.length, 'exclusion');
    return refused(`There is no exclusion number ${index + 1}; the season has ${count}.`);
  }
  const kept = exclusions.filter((_, i) => i !== index);
  return settingsChange(season, { exclusions: kept }, `${exclusionName(season, exclusion)} taken in again`);
}

function exclusionName(season: Season, { field, machine, around, from, to }: Exclusion): string {
  const who = season.machines.find(({ id }) => id === machine)?.name ?? machine;
  const isTimed = from !== undefined || to !== undefined;
  const what = around !== undefined ? 'Ground' : 'A span of time';
  const when = around !== undefined && isTimed ? ' at a time' : '';
  return `${what}${when}${who === undefined ? '' : ` of ${who}`}${field === undefined ? '' : ` in ${field}`}`;
}

/** How each curve of a calibration reads. */
const MODEL_NAMES = {
  auto: 'chosen from the loads',
  gain: 'one gain',
  gain_zero: 'gain and zero',
  gain_curvature: 'gain and curvature',
  gain_moisture: 'gain and moisture',
  gain_test_weight: 'gain and test weight',
} as const;

export function setModel(season: Season, model: keyof typeof MODEL_NAMES | null): Result<Change> {
  const name = `Calibration curve: ${MODEL_NAMES[model ?? 'auto']}`;
  return settingsChange(season, { calibration: { model } }, name);
}

const LIST_NAMES = {
  prior: ['Gain carried over', 'No gain carried over'],
  settlements: ['Fields reconciled to their settlement', 'No field reconciled to a settlement'],
  agreements: ['Machines made to agree', 'Machines left as they are'],
  groups: ['Calibration by variety or period', 'One calibration a machine and crop'],
} as const satisfies Record<keyof CalibrationLists, readonly [string, string]>;

export function setCalibration(season: Season, change: Patch<CalibrationLists>): Result<Change> {
  const names = (Object.keys(LIST_NAMES) as (keyof CalibrationLists)[])
    .filter((key) => change[key] !== undefined)
    .map((key) => LIST_NAMES[key][Object.keys(change[key] ?? {}).length > 0 ? 0 : 1]);
  const name = names.length > 0 ? names.join(', ') : 'Nothing changed in the calibration';
  return settingsChange(season, { calibration: change as JsonObject }, name);
}

export function setLoad(season: Season, ticket: string, use: boolean | null): Result<Change> {
  const loads = season.settings?.calibration?.loads ?? [];
  const index = loads.findIndex((load) => load.ticket === ticket);
  const others = loads.filter((_, i) => i !== index);
  let after: readonly LoadChoice[] = others;
  if (use !== null)
    after = index < 0 ? [...loads, { ticket, use }] : loads.with(index, { ...loads[index], use });
  const what = use === null ? 'left to the program' : use ? 'used all the same' : 'set aside';
  return settingsChange(season, { calibration: { loads: after } }, `Ticket ${ticket} ${what}`);
}

/** "Load 20417 from 17:05:10 to 17:31:00 UTC", "Load 20417 at the times of its ticket again" */
export function setLoadSpan(
  season: Season,
  tickets: readonly string[],
  span: { readonly start_utc: string; readonly end_utc: string } | null,
): Result<Change> {
  const held = season.settings?.calibration?.spans ?? [];
  if (span !== null && !(momentOf(span.start_utc) < momentOf(span.end_utc)))
    return refused(
      `Load ${tickets.join(' + ')} would end (${span.end_utc}) before it starts (${span.start_utc}).`,
    );
  const others = held.filter(({ ticket }) => !tickets.includes(ticket));
  const added = span === null ? [] : tickets.map((ticket) => ({ ticket, ...span }));
  const when =
    span === null
      ? `at the times of its ticket${tickets.length > 1 ? 's' : ''} again`
      : `from ${clockOf(span.start_utc)} to ${clockOf(span.end_utc)} UTC`;
  return settingsChange(
    season,
    { calibration: { spans: [...others, ...added] } },
    `Load ${tickets.join(' + ')} ${when}`,
  );
}

function momentOf(utc: string): number {
  return timeFromIso(utc)?.utc_s ?? Number.NaN;
}

/** `17:05:10` of `2026-09-28T17:05:10.000Z` */
function clockOf(utc: string): string {
  return utc.slice(11, 19);
}

/** The season with `patch` laid over its settings; parts that are left empty go, and with the last one the settings. */
function settingsChange(season: Season, patch: JsonObject, name: string): Result<Change> {
  const merged = mergePatch((season.settings ?? {}) as JsonObject, patch);
  const settings = withoutEmptyParts(merged) as SettingsSheet;
  if (Object.keys(settings).length > 0) return success({ season: { ...season, settings }, name });
  const { settings: _, ...rest } = season;
  return success({ season: rest, name });
}

const LAG_WORDS: Readonly<Record<string, string>> = {
  transport_s: 'Lag',
  mixing_s: 'Mixing',
  moisture_s: 'Moisture lag',
};

/** "Lag set to 12.0 s in Home", "Lag of combine 1 found from the data again" */
function lagName(
  season: Season,
  of: { readonly field?: string; readonly machine?: string },
  change: Patch<LagNumbers>,
): string {
  const machine = season.machines.find(({ id }) => id === of.machine)?.name ?? of.machine;
  const whose = machine === undefined ? '' : ` of ${machine}`;
  const where = of.field === undefined ? '' : ` in ${of.field}`;
  if (Object.keys(change).length === 0) return `Nothing changed in the lag${whose}${where}`;
  return Object.entries(change)
    .map(([key, to]) => {
      const what = to === null ? 'found from the data again' : `set to ${Number(to).toFixed(1)} s`;
      return `${LAG_WORDS[key] ?? key}${whose} ${what}${where}`;
    })
    .join(', ');
}
