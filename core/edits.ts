/**
 * Every action of the user as a pure function: season and arguments in, the new season and the action's name out.
 * Nothing is half done: what the season's own schema and checks refuse is refused with their sentence.
 */
import type { Change } from './edits/change.ts';
import {
  removeComparison,
  renameComparison,
  setComparison,
  setMargin,
  setStability,
} from './edits/comparison-edits.ts';
import {
  addLogs,
  addTickets,
  assignLogs,
  forgetFiles,
  recordFiles,
  removeLogs,
  removeMapping,
  removeTickets,
  setMapping,
} from './edits/file-edits.ts';
import type { SeasonEdit, SingleEdit } from './edits/season-edit.ts';
import {
  exclude,
  readmit,
  resetRules,
  setCalibration,
  setCutWidth,
  setLag,
  setLoad,
  setLoadSpan,
  setModel,
  setPointInterval,
  setRule,
  setSignal,
  setSurface,
  setUnsmear,
} from './edits/setting-edits.ts';
import {
  addField,
  addMachine,
  changeField,
  changeMachine,
  removeCrop,
  removeField,
  removeMachine,
  renameSeason,
  setCrop,
  setGrower,
  setUnits,
} from './edits/sheet-edits.ts';
import { failure, type Notice, type Result, success } from './errors.ts';
import type { Season } from './season.ts';
import { sheetDoubts, sheetFaults } from './season-checks.ts';
import { decodeSeason, encodeSeason } from './season-file.ts';
import { seasonSchema } from './season-schema.ts';

export type { Change } from './edits/change.ts';
export {
  type LagNumbers,
  type Patch,
  type SeasonEdit,
  type SingleEdit,
  seasonEditSchema,
} from './edits/season-edit.ts';

/**
 * The season after `edit`, frozen, and the name of the edit for the history. Fails when the edit names what is not
 * there, or when the season that it makes is not sound (code and sentence of the first fault), or when it brings in a
 * key that the program does not know (keys that were there before are kept). What the edit does not touch is shared
 * with `season`.
 */
export function applyEdit(season: Season, edit: SeasonEdit): Result<Change> {
  const edited = edit.kind === 'several' ? allOf(season, edit.name, edit.edits) : changeBy(season, edit);
  if (!edited.ok) return edited;
  const { season: wanted, name } = edited.value;
  if (isPlainlySound(wanted)) return success({ season: deeplyFrozen(wanted), name });
  const judged = decodeSeason(encodeSeason(wanted));
  if (!judged.ok) {
    const text = withoutPlace(judged.error.text);
    return failure({ code: judged.error.code, source: judged.error.source, text: `Not changed: ${text}` });
  }
  const foreign = newUnknownKey(season, judged.notices);
  if (foreign !== undefined) return failure(foreign);
  return success(
    { season: deeplyFrozen(wanted), name },
    judged.notices.filter(({ code }) => code !== 'unknown_key'),
  );
}

/** Nothing to say about the season at all: by far the most edits, and the quick way, as no text is made and read again. */
function isPlainlySound(season: Season): boolean {
  return (
    seasonSchema.safeParse(season).success &&
    sheetFaults(season).length === 0 &&
    sheetDoubts(season).length === 0
  );
}

function allOf(season: Season, name: string, edits: readonly SingleEdit[]): Result<Change> {
  let reached = season;
  for (const edit of edits) {
    const next = changeBy(reached, edit);
    if (!next.ok) return next;
    reached = next.value.season;
  }
  return success({ season: reached, name });
}

function changeBy(season: Season, edit: SingleEdit): Result<Change> {
  switch (edit.kind) {
    case 'rename_season':
      return renameSeason(season, edit.name);
    case 'set_grower':
      return setGrower(season, edit.grower);
    case 'set_units':
      return setUnits(season, edit.units);
    case 'add_machine':
      return addMachine(season, edit.machine);
    case 'change_machine':
      return changeMachine(season, edit.id, edit.change);
    case 'remove_machine':
      return removeMachine(season, edit.id);
    case 'add_field':
      return addField(season, edit.field);
    case 'change_field':
      return changeField(season, edit.name, edit.change);
    case 'remove_field':
      return removeField(season, edit.name);
    case 'set_crop':
      return setCrop(season, edit.crop);
    case 'remove_crop':
      return removeCrop(season, edit.name);
    case 'add_logs':
      return addLogs(season, edit.files, edit);
    case 'assign_logs':
      return assignLogs(season, edit.files, edit.change);
    case 'remove_logs':
      return removeLogs(season, edit.files);
    case 'add_tickets':
      return addTickets(season, edit.files);
    case 'remove_tickets':
      return removeTickets(season, edit.files);
    case 'set_mapping':
      return setMapping(season, edit.mapping);
    case 'remove_mapping':
      return removeMapping(season, edit.id);
    case 'record_files':
      return recordFiles(season, edit.files);
    case 'forget_files':
      return forgetFiles(season, edit.files);
    case 'set_signal':
      return setSignal(season, edit.change);
    case 'set_lag':
      return setLag(season, edit, edit.change);
    case 'set_unsmear':
      return setUnsmear(season, edit.change);
    case 'set_cut_width':
      return setCutWidth(season, edit.change);
    case 'set_surface':
      return setSurface(season, edit.change);
    case 'set_comparison':
      return setComparison(season, edit.comparison);
    case 'rename_comparison':
      return renameComparison(season, edit.name, edit.to);
    case 'remove_comparison':
      return removeComparison(season, edit.name);
    case 'set_margin':
      return setMargin(season, edit.change);
    case 'set_stability':
      return setStability(season, edit.change);
    case 'set_point_interval':
      return setPointInterval(season, edit.interval_s);
    case 'set_rule':
      return setRule(season, edit.rule, edit.change);
    case 'reset_rules':
      return resetRules(season);
    case 'exclude':
      return exclude(season, edit.exclusion);
    case 'readmit':
      return readmit(season, edit.index);
    case 'set_calibration':
      return setCalibration(season, edit.change);
    case 'set_model':
      return setModel(season, edit.model);
    case 'set_load_span':
      return setLoadSpan(season, edit.tickets, edit.span);
    case 'set_load':
      return setLoad(season, edit.ticket, edit.use);
  }
}

/** Lines of a sheet that is not on the disk mean nothing to anyone. */
function withoutPlace(text: string): string {
  return text.replace(/^season\.json, line \d+: /, '').replace(/; line \d+ has/, '; there is');
}

/** A key that the edit has brought in and that the program does not know; a slip rather than a wish. */
function newUnknownKey(before: Season, notices: readonly Notice[]) {
  const unknown = notices.filter(({ code }) => code === 'unknown_key');
  if (unknown.length === 0) return undefined;
  const earlier = decodeSeason(encodeSeason(before)).notices.filter(({ code }) => code === 'unknown_key');
  const placeOf = ({ text }: Notice) =>
    withoutPlace(text)
      .split(' ', 1)[0]
      .replaceAll(/\[\d+\]/g, '[]');
  const found = unknown.find((notice) => {
    const same = earlier.find((one) => placeOf(one) === placeOf(notice));
    return same === undefined || same.count < notice.count;
  });
  if (found === undefined) return undefined;
  const text = `Not changed: ${withoutPlace(found.text).replace('; it is kept and has no effect', '')}`;
  return { code: 'unknown_key', source: found.source, text };
}

function deeplyFrozen<T>(held: T): T {
  if (typeof held !== 'object' || held === null || Object.isFrozen(held)) return held;
  for (const part of Object.values(held)) deeplyFrozen(part);
  return Object.freeze(held);
}
