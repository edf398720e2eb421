/** Edits of what is entered about calibration: lists that are sent as a whole, with one entry put in or taken out. */
import type {
  AgreementSheet,
  CalibrationSheet,
  GroupsSheet,
  PriorSheet,
  SettlementSheet,
} from '../../core/calibration-sheet.ts';
import type { CalibrationLists, SeasonEdit } from '../../core/edits/season-edit.ts';
import type { Season } from '../../core/season.ts';

/** The gain carried over for one machine and crop, in the place of the one there; null takes it away. */
export function priorEdit(season: Season, place: FitPlace, prior: Carried | null): SeasonEdit {
  const others = sheetOf(season).prior?.filter((one) => !isOf(one, place)) ?? [];
  return listEdit('prior', prior === null ? others : [...others, { ...place, ...prior }]);
}

export interface FitPlace {
  readonly machine: string;
  readonly crop: string;
}

export type Carried = Pick<PriorSheet, 'factor' | 'se_pct' | 'from'>;

/** The gain that stands in the sheet for exactly this machine and crop. */
export function priorOf(season: Season, place: FitPlace): PriorSheet | undefined {
  return sheetOf(season).prior?.find((one) => isOf(one, place));
}

/** What fields were settled at; any other settlement with one of those fields goes, since a field is settled once. */
export function settlementEdit(season: Season, settlement: SettlementSheet): SeasonEdit {
  const apart = without(season, settlement.fields);
  return listEdit('settlements', [...apart, settlement]);
}

/** Takes away the settlement of which the field is part. */
export function settlementRemoval(season: Season, field: string): SeasonEdit {
  return listEdit('settlements', without(season, [field]));
}

export function settlementOf(season: Season, field: string): SettlementSheet | undefined {
  return sheetOf(season).settlements?.find(({ fields }) => fields.includes(field));
}

/** Makes one machine agree with another (`apply`), or lets it be again. */
export function agreementEdit(season: Season, pair: AgreementSheet, how: 'apply' | 'leave'): SeasonEdit {
  const others = sheetOf(season).agreements?.filter((one) => !isPair(one, pair)) ?? [];
  return listEdit('agreements', how === 'apply' ? [...others, pair] : others);
}

export function isAgreed(season: Season, pair: AgreementSheet): boolean {
  return sheetOf(season).agreements?.some((one) => isPair(one, pair)) ?? false;
}

/** Loads fitted apart by variety or period; null: all of a machine and crop together. */
export function groupsEdit(groups: GroupsSheet | null): SeasonEdit {
  const change = groups === null ? null : { by: groups.by, splits_utc: groups.splits_utc ?? null };
  return { kind: 'set_calibration', change: { groups: change } };
}

function sheetOf(season: Season): CalibrationSheet {
  return season.settings?.calibration ?? {};
}

function listEdit<List extends Exclude<keyof CalibrationLists, 'groups'>>(
  list: List,
  entries: NonNullable<CalibrationLists[List]>,
): SeasonEdit {
  return { kind: 'set_calibration', change: { [list]: entries.length === 0 ? null : entries } };
}

function without(season: Season, fields: readonly string[]): readonly SettlementSheet[] {
  const held = sheetOf(season).settlements ?? [];
  return held.filter((one) => !one.fields.some((field) => fields.includes(field)));
}

const isOf = (one: PriorSheet, { machine, crop }: FitPlace) => one.machine === machine && one.crop === crop;

const isPair = (one: AgreementSheet, pair: AgreementSheet) =>
  one.machine === pair.machine && one.with === pair.with;
