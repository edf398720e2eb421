/**
 * `season.json` ↔ `Season`: decoding with messages that name the offending key, encoding that keeps every key.
 * Unknown keys are kept and noticed once each, so that a sheet from a newer minor version loses nothing.
 */
import type * as z from 'zod';
import type { DataError, Notice } from './errors.ts';
import { failure, type Result, success } from './errors.ts';
import { type JsonPath, type JsonText, jsonPathText, parseJsonText } from './json-text.ts';
import { nearestWord } from './nearest-word.ts';
import { moreLike } from './notice-limit.ts';
import type { Season } from './season.ts';
import { type SheetFault, sheetDoubts, sheetFaults } from './season-checks.ts';
import { knownKeys, seasonFromSchema, seasonSchema } from './season-schema.ts';
import { shownText } from './shown-text.ts';

/** The sheet's name in the season folder and in messages. */
export const SEASON_FILE = 'season.json';

/** The format that this program writes, and the only one so far. */
export const SEASON_FORMAT: Season['format'] = 'sheaflight-season/1';

/**
 * Decodes and checks the text of a season sheet; the season is frozen and keeps unknown keys and the order of keys.
 * Fails with the first fault as its error; further ones are notices of severity `mend`, so that all can be put right
 * in one go.
 */
export function decodeSeason(text: string): Result<Season> {
  const parsed = parseJsonText(text, SEASON_FILE);
  if (!parsed.ok) return parsed;
  const json = parsed.value;
  const wrongFormat = formatError(json);
  if (wrongFormat) return failure(wrongFormat);

  const checked = seasonSchema.safeParse(json.value, { reportInput: true });
  const issues = checked.success ? [] : checked.error.issues;
  const unknown = unknownKeyNotices(issues, json);
  const wrong = issues.filter((issue) => issue.code !== 'unrecognized_keys');
  if (wrong.length > 0) return refusal(wrong, (issue) => issueError(issue, json), unknown);
  const large = firstLargeNumber(json.value, []);
  if (large) return refusal([large], (path) => largeNumber(path, json), unknown);

  const season = seasonFromSchema(json.value as z.infer<typeof seasonSchema>);
  const faults = sheetFaults(season);
  if (faults.length > 0) return refusal(faults, (fault) => faultError(fault, json), unknown);
  return success(deeplyFrozen(season), [...unknown, ...doubtNotices(season, json)]);
}

/**
 * The text of a season sheet: two-space JSON with a newline at the end, keys in the order in which they stand.
 * `decodeSeason(encodeSeason(s))` gives `s` back, and the text is the same whatever the machine.
 * Throws RangeError on a number that JSON cannot hold.
 */
export function encodeSeason(season: Season): string {
  const text = JSON.stringify(
    season,
    (key, held: unknown) => {
      if (typeof held === 'number' && !Number.isFinite(held)) {
        throw new RangeError(`a season cannot hold the number ${held} (key "${key}")`);
      }
      return held;
    },
    2,
  );
  return `${text}\n`;
}

function formatError(json: JsonText): DataError | undefined {
  const sheet = json.value;
  if (typeof sheet !== 'object' || sheet === null || Array.isArray(sheet)) {
    const text = `${SEASON_FILE}: expected a season sheet (an object in braces { }), found ${described(sheet)}.`;
    return { code: 'not_a_season', source: SEASON_FILE, line: 1, text };
  }
  const format = (sheet as Record<string, unknown>).format;
  if (format === SEASON_FORMAT) return undefined;
  const line = json.lineOf(['format']);
  const version = typeof format === 'string' ? /^sheaflight-season\/(\d+)$/.exec(format) : null;
  if (version && Number(version[1]) > 1) {
    const text = `${SEASON_FILE}, line ${line}: the sheet was written by a newer program (format "${format}", this one reads "${SEASON_FORMAT}"); update this program.`;
    return { code: 'newer_format', source: SEASON_FILE, line, text };
  }
  const found = format === undefined ? 'is missing' : `is ${described(format)}`;
  const text = `${SEASON_FILE}, line ${line}: format ${found}, expected "${SEASON_FORMAT}"; without it this is no season sheet.`;
  return { code: 'unknown_format', source: SEASON_FILE, line, text };
}

function issueError(issue: z.core.$ZodIssue, json: JsonText): DataError {
  const path = issue.path as JsonPath;
  const line = json.lineOf(path);
  const where = `${SEASON_FILE}, line ${line}: ${jsonPathText(path)}`;
  const expected = expectedBy(issue);
  const found = valueAt(json.value, path);
  const nearest =
    issue.code === 'invalid_value' && typeof found === 'string'
      ? nearestWord(found, issue.values.map(String))
      : undefined;
  const hint = nearest === undefined ? '' : `; did you mean "${nearest}"?`;
  const text =
    found === undefined
      ? `${where} is missing: expected ${expected}${misspelling(path, json)}.`
      : `${where} is ${described(found)}, expected ${expected}${hint === '' ? '.' : hint}`;
  return { code: found === undefined ? 'missing_key' : 'wrong_value', source: SEASON_FILE, line, text };
}

/** A key beside the missing one that was probably meant to be it. */
function misspelling(path: JsonPath, json: JsonText): string {
  const place = path.slice(0, -1);
  const known = knownKeys(place);
  const others = Object.keys(valueAt(json.value, place) as object).filter((key) => !known.includes(key));
  const meant = nearestWord(String(path.at(-1)), others);
  return meant === undefined
    ? ''
    : `; line ${json.lineOf([...place, meant])} has "${shownText(meant)}", which may be meant for it`;
}

function expectedBy(issue: z.core.$ZodIssue): string {
  if (issue.code === 'invalid_value')
    return issue.values.map((allowed) => JSON.stringify(allowed)).join(' or ');
  if (issue.code !== 'invalid_type') return issue.message;
  switch (issue.expected) {
    case 'string':
      return 'a text in double quotes';
    case 'number':
      return 'a number without quotes';
    case 'boolean':
      return 'true or false';
    case 'array':
      return 'a list in brackets [ ]';
    case 'object':
    case 'record':
      return 'an object in braces { }';
    default:
      return issue.expected;
  }
}

function described(found: unknown): string {
  if (typeof found === 'string') return `the text ${JSON.stringify(shownText(found))}`;
  if (Array.isArray(found)) return 'a list';
  if (typeof found === 'number' && !Number.isFinite(found)) return 'a number too large to be held';
  if (typeof found === 'object' && found !== null) return 'an object';
  return String(found);
}

function valueAt(root: unknown, path: JsonPath): unknown {
  let held = root;
  for (const step of path) held = (held as Record<string | number, unknown> | undefined)?.[step];
  return held;
}

function unknownKeyNotices(issues: readonly z.core.$ZodIssue[], json: JsonText): Notice[] {
  const byPlace = new Map<string, Notice>();
  let untold = 0;
  for (const issue of issues) {
    if (issue.code !== 'unrecognized_keys') continue;
    for (const key of issue.keys) {
      const path = [...(issue.path as JsonPath), key];
      const place = jsonPathText(path.map((step) => (typeof step === 'number' ? 0 : step)));
      const earlier = byPlace.get(place);
      if (earlier) byPlace.set(place, { ...earlier, count: earlier.count + 1 });
      else if (byPlace.size < MOST_TOLD) byPlace.set(place, unknownKeyNotice(path, key, json));
      else untold++;
    }
  }
  const notices = [...byPlace.values()];
  return untold === 0 ? notices : [...notices, moreLike(notices[0], untold)];
}

function unknownKeyNotice(path: JsonPath, key: string, json: JsonText): Notice {
  const line = json.lineOf(path);
  const nearest = nearestWord(key, knownKeys(path.slice(0, -1)));
  const hint = nearest === undefined ? '' : ` Did you mean "${nearest}"?`;
  const text = `${SEASON_FILE}, line ${line}: ${jsonPathText(path)} is not a key that this program knows; it is kept and has no effect.${hint}`;
  return { code: 'unknown_key', severity: 'look', source: SEASON_FILE, line, count: 1, text };
}

function faultError(fault: SheetFault, json: JsonText): DataError {
  const line = json.lineOf(fault.path);
  const text = `${SEASON_FILE}, line ${line}: ${jsonPathText(fault.path)} ${fault.text}`;
  return { code: fault.code, source: SEASON_FILE, line, text };
}

/** Faults of a sheet that are told one by one: a sheet with thousands is no sheet. A choice of ours. */
const MOST_TOLD = 50;

/** The first fault as the error, more as notices. */
function refusal<F>(
  faults: readonly F[],
  errorOf: (fault: F) => DataError,
  notices: readonly Notice[],
): Result<Season> {
  const [first, ...more] = faults.slice(0, MOST_TOLD).map(errorOf);
  const told = more.map((error) => noticeFrom(error, 'mend'));
  const left = faults.length - MOST_TOLD;
  if (left > 0) told.push(moreLike(noticeFrom(first, 'mend'), left));
  return failure(first, [...told, ...notices]);
}

function doubtNotices(season: Season, json: JsonText): Notice[] {
  const doubts = sheetDoubts(season);
  const told = doubts.slice(0, MOST_TOLD).map((doubt) => noticeFrom(faultError(doubt, json), 'look'));
  const left = doubts.length - told.length;
  return left > 0 ? [...told, moreLike(told[0], left)] : told;
}

/** Path of a number too large to be held (JSON reads it as infinity), also under unknown keys, which are kept. */
function firstLargeNumber(held: unknown, path: JsonPath): JsonPath | undefined {
  if (typeof held === 'number') return Number.isFinite(held) ? undefined : path;
  if (typeof held !== 'object' || held === null) return undefined;
  for (const [key, part] of Object.entries(held)) {
    const found = firstLargeNumber(part, [...path, Array.isArray(held) ? Number(key) : key]);
    if (found) return found;
  }
  return undefined;
}

function largeNumber(path: JsonPath, json: JsonText): DataError {
  const line = json.lineOf(path);
  const text = `${SEASON_FILE}, line ${line}: ${jsonPathText(path)} is a number too large to be held; correct it, or remove the key.`;
  return { code: 'wrong_value', source: SEASON_FILE, line, text };
}

function noticeFrom(error: DataError, severity: Notice['severity']): Notice {
  return { ...error, severity, count: 1 };
}

function deeplyFrozen<T>(held: T): T {
  if (typeof held !== 'object' || held === null) return held;
  for (const part of Object.values(held)) deeplyFrozen(part);
  return Object.freeze(held);
}
