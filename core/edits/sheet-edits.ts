/** Edits of what a season is made of: its name, machines, fields and crops. */
import type { ComparisonSheet } from '../analysis/comparison/comparison-sheet.ts';
import { type Result, success } from '../errors.ts';
import type {
  CropSheet,
  Exclusion,
  FieldSheet,
  LagSheet,
  LogSheet,
  MachineSheet,
  Season,
  SettingsSheet,
} from '../season.ts';
import { type Change, counted, notThere, patchName, refused } from './change.ts';
import { withoutConfirmed } from './confirmed.ts';
import { type JsonObject, mergePatch, withoutEmptyParts } from './merge-patch.ts';
import type { Patch } from './season-edit.ts';

export function renameSeason(season: Season, name: string): Result<Change> {
  return success({ season: { ...season, name }, name: `Season renamed to ${name}` });
}

export function setGrower({ grower: _, ...season }: Season, grower: string | null): Result<Change> {
  return success(
    grower === null
      ? { season, name: 'Grower taken off the reports' }
      : { season: { ...season, grower }, name: `Grower named ${grower}` },
  );
}

export function setUnits(season: Season, units: 'us' | 'metric'): Result<Change> {
  const words = units === 'us' ? 'US units' : 'metric units';
  return success({ season: { ...season, units }, name: `Shown in ${words}` });
}

export function addMachine(season: Season, machine: MachineSheet): Result<Change> {
  return success({
    season: { ...season, machines: [...season.machines, machine] },
    name: `Machine ${machine.name} added`,
  });
}

/** A new id is carried into the logs, lags, exclusions and comparisons that name the machine. */
export function changeMachine(season: Season, id: string, change: Patch<MachineSheet>): Result<Change> {
  const index = season.machines.findIndex((machine) => machine.id === id);
  if (index < 0) return notThere('machine', id, machineIds(season));
  const before = season.machines[index];
  const after = withoutConfirmed(patched(before, change), change as JsonObject);
  const changed = { ...season, machines: season.machines.with(index, after) };
  const renamed = after.id === id ? changed : withMachineRenamed(changed, id, after.id);
  return success({ season: renamed, name: patchName(change as JsonObject, before.name) });
}

/** Lags and exclusions entered for the machine go with it; its logs must have gone before. */
export function removeMachine(season: Season, id: string): Result<Change> {
  const machine = season.machines.find((one) => one.id === id);
  if (!machine) return notThere('machine', id, machineIds(season));
  const files = season.logs.filter((log) => log.machine === id).flatMap((log) => log.files);
  if (files.length > 0) {
    return refused(
      `${machine.name} has ${counted(files.length, 'log file')}; give them to another machine or take them off the list first.`,
    );
  }
  const kept = { ...season, machines: season.machines.filter((one) => one.id !== id) };
  return success({
    season: withAddressed(kept, (entry) => (entry.machine === id ? [] : [entry])),
    name: `Machine ${machine.name} removed`,
  });
}

export function addField(season: Season, field: FieldSheet): Result<Change> {
  return success({
    season: { ...season, fields: [...season.fields, field] },
    name: `Field ${field.name} added`,
  });
}

/** A new name is carried into the logs, lags, exclusions, comparisons and costs that name the field. */
export function changeField(season: Season, name: string, change: Patch<FieldSheet>): Result<Change> {
  const index = season.fields.findIndex((field) => field.name === name);
  if (index < 0) return notThere('field', name, fieldNames(season));
  const after = withoutConfirmed(patched(season.fields[index], change), change as JsonObject);
  const changed = { ...season, fields: season.fields.with(index, after) };
  const renamed = after.name === name ? changed : withFieldRenamed(changed, name, after.name);
  return success({ season: renamed, name: patchName(change as JsonObject, name) });
}

/** Lags, exclusions, comparisons and costs of the field go with it; logs that were given to it must have gone before. */
export function removeField(season: Season, name: string): Result<Change> {
  if (!fieldNames(season).includes(name)) return notThere('field', name, fieldNames(season));
  const files = season.logs.filter((log) => log.field === name).flatMap((log) => log.files);
  if (files.length > 0) {
    return refused(
      `${name} has ${counted(files.length, 'log file')} of its own; give them to another field or to none first.`,
    );
  }
  const kept = { ...season, fields: season.fields.filter((field) => field.name !== name) };
  return success({
    season: withAddressed(kept, (entry) => (entry.field === name ? [] : [entry])),
    name: `Field ${name} removed`,
  });
}

export function setCrop(season: Season, crop: CropSheet): Result<Change> {
  const crops = season.crops ?? [];
  const index = crops.findIndex((one) => one.name === crop.name);
  return success({
    season: { ...season, crops: index < 0 ? [...crops, crop] : crops.with(index, crop) },
    name: `Numbers of ${crop.name} ${index < 0 ? 'added' : 'changed'}`,
  });
}

export function removeCrop(season: Season, name: string): Result<Change> {
  const crops = season.crops ?? [];
  if (!crops.some((crop) => crop.name === name)) {
    return notThere(
      'crop',
      name,
      crops.map((crop) => crop.name),
    );
  }
  const { crops: _, ...rest } = season;
  const kept = crops.filter((crop) => crop.name !== name);
  return success({
    season: kept.length === 0 ? rest : { ...season, crops: kept },
    name: `Own numbers of ${name} removed`,
  });
}

/** `mergePatch` on a sheet; the season's schema judges what comes out. */
export function patched<T extends object>(sheet: T, change: Patch<T>): T {
  return mergePatch(sheet as JsonObject, change as JsonObject) as T;
}

function withMachineRenamed(season: Season, from: string, to: string): Season {
  const logs = season.logs.map((log): LogSheet => (log.machine === from ? { ...log, machine: to } : log));
  return withAddressed({ ...season, logs }, (entry) => [
    entry.machine === from ? { ...entry, machine: to } : entry,
  ]);
}

function withFieldRenamed(season: Season, from: string, to: string): Season {
  const logs = season.logs.map((log): LogSheet => (log.field === from ? { ...log, field: to } : log));
  return withAddressed({ ...season, logs }, (entry) => [
    entry.field === from ? { ...entry, field: to } : entry,
  ]);
}

/** What of the settings belongs to a field, to a machine, or to both. */
interface Addressed {
  readonly field?: string;
  readonly machine?: string;
}

function withAddressed(season: Season, each: <Entry extends Addressed>(entry: Entry) => Entry[]): Season {
  const compared = withComparisonsAddressed(season, each);
  const { lags, exclusions, margin } = season.settings ?? {};
  const { costs } = margin ?? {};
  if (lags === undefined && exclusions === undefined && costs === undefined) return compared;
  const settings = withoutEmptyParts({
    ...season.settings,
    ...(lags === undefined ? {} : { lags: lags.flatMap((lag: LagSheet) => each(lag)) }),
    ...(exclusions === undefined
      ? {}
      : { exclusions: exclusions.flatMap((exclusion: Exclusion) => each(exclusion)) }),
    ...(costs === undefined ? {} : { margin: { ...margin, costs: costs.flatMap((cost) => each(cost)) } }),
  });
  if (Object.keys(settings).length > 0) return { ...compared, settings: settings as SettingsSheet };
  const { settings: _, ...rest } = compared;
  return rest;
}

/** Comparisons whose field went, or whose last span of time did, go too. */
function withComparisonsAddressed(
  season: Season,
  each: <Entry extends Addressed>(entry: Entry) => Entry[],
): Season {
  const { comparisons: held, ...rest } = season;
  if (held === undefined) return season;
  const comparisons = held
    .flatMap((comparison) => each(comparison as ComparisonSheet & Addressed))
    .map(({ spans, ...others }) =>
      spans === undefined ? others : { ...others, spans: spans.flatMap((span) => each(span)) },
    )
    .filter((comparison) => !('spans' in comparison) || comparison.spans.length > 0);
  return comparisons.length === 0 ? rest : { ...season, comparisons };
}

function machineIds(season: Season): string[] {
  return season.machines.map((machine) => machine.id);
}

function fieldNames(season: Season): string[] {
  return season.fields.map((field) => field.name);
}
