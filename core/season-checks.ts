/** What the shape of a season sheet cannot say: names that must be unique, references that must meet, sizes that must fit. */
import { findCrop } from './grain/find-crop.ts';
import { type JsonPath, jsonPathText } from './json-text.ts';
import { nearestWord } from './nearest-word.ts';
import { RULES } from './screen/rules.ts';
import type { MachineSheet, ScreeningRule, Season } from './season.ts';
import { shownNames } from './shown-text.ts';

/** One contradiction in a sheet: which key, and what about it. `text` continues a sentence that begins with the key. */
export interface SheetFault {
  readonly path: JsonPath;
  readonly code: string;
  readonly text: string;
}

/** All contradictions of a season whose shape is right, in the order of the sheet; empty when it is sound. */
export function sheetFaults(season: Season): SheetFault[] {
  return [
    ...repeated(
      season.machines.map((machine) => machine.id),
      (index) => ['machines', index, 'id'],
      'machine id',
    ),
    ...season.machines.flatMap(machineFaults),
    ...repeated(
      season.fields.map((field) => field.name),
      (index) => ['fields', index, 'name'],
      'field name',
    ),
    ...repeated(
      (season.crops ?? []).map((crop) => crop.name),
      (index) => ['crops', index, 'name'],
      'crop name',
    ),
    ...cropFaults(season),
    ...logFaults(season),
    ...repeated(season.tickets ?? [], (index) => ['tickets', index], 'ticket file'),
    ...roleFaults(season),
    ...repeated(
      (season.mappings ?? []).map((mapping) => mapping.id),
      (index) => ['mappings', index, 'id'],
      'mapping id',
    ),
    ...settingFaults(season),
    ...comparisonFaults(season),
  ];
}

/** Row spacings outside this are worth a second look, m (15 in to 40 in rows and drilled grain; common practice, no source). */
const ROW_SPACING_M = { least: 0.1, most: 1.6 };

/** What is possible but odd, and what nobody has confirmed; the same form as faults. */
export function sheetDoubts(season: Season): SheetFault[] {
  return [...season.machines.flatMap(rowDoubts), ...ruleDoubts(season), ...unconfirmed(season)];
}

function rowDoubts(machine: MachineSheet, index: number): SheetFault[] {
  const { width_m, rows } = machine.header;
  if (rows === undefined) return [];
  const spacing_m = width_m / rows;
  if (spacing_m >= ROW_SPACING_M.least && spacing_m <= ROW_SPACING_M.most) return [];
  const text = `makes rows ${spacing_m.toFixed(2)} m apart; check header width and number of rows.`;
  return [{ path: ['machines', index, 'header', 'rows'], code: 'odd_row_spacing', text }];
}

/** Numbers of screening rules that no rule has: mistyped, they would change nothing without a word. */
function ruleDoubts({ settings }: Season): SheetFault[] {
  return Object.entries(settings?.screening ?? {}).flatMap(([rule, sheet]) => {
    if (!Object.hasOwn(RULES, rule)) return [];
    const known = ['on', ...Object.keys(RULES[rule as ScreeningRule].numbers)];
    return Object.keys(sheet ?? {})
      .filter((key) => !known.includes(key))
      .map((key) => {
        const nearest = nearestWord(key, known);
        const hint = nearest === undefined ? `It knows ${known.join(', ')}.` : `Did you mean "${nearest}"?`;
        const text = `is not a number of this rule; it is kept and has no effect. ${hint}`;
        return { path: ['settings', 'screening', rule, key], code: 'unknown_key', text };
      });
  });
}

/** Guesses of an import, each until somebody takes its key off the list. */
function unconfirmed(season: Season): SheetFault[] {
  const places = [
    ...season.machines.map((sheet, index) => ({ sheet, path: ['machines', index] })),
    ...season.fields.map((sheet, index) => ({ sheet, path: ['fields', index] })),
  ];
  return places.flatMap(({ sheet, path }) =>
    (sheet.unconfirmed ?? []).map((key) => {
      const { name } = sheet;
      const text = `holds "${key}" of ${name}, which was guessed when files were imported; put it right if it is wrong, and take it off this list.`;
      return { path: [...path, 'unconfirmed'], code: 'unconfirmed_guess', text };
    }),
  );
}

function machineFaults(machine: MachineSheet, index: number): SheetFault[] {
  const { paddle, beam } = machine;
  if (!paddle) return [];
  const faults: SheetFault[] = [];
  const dark_mm = paddle.thickness_mm + (beam?.height_mm ?? 0);
  if (dark_mm >= paddle.pitch_mm) {
    const path = ['machines', index, 'paddle', 'thickness_mm'];
    const text = `with the beam makes ${dark_mm} mm, which is not less than the pitch of ${paddle.pitch_mm} mm; measure both again.`;
    faults.push({ path, code: 'thickness_not_below_pitch', text });
  }
  if (beam?.from_back_mm !== undefined && beam.from_back_mm > paddle.depth_mm) {
    const path = ['machines', index, 'beam', 'from_back_mm'];
    const text = `is ${beam.from_back_mm} mm, in front of the paddles, which are ${paddle.depth_mm} mm deep; measure again.`;
    faults.push({ path, code: 'beam_misses_paddle', text });
  }
  return faults;
}

function cropFaults(season: Season): SheetFault[] {
  return season.fields.flatMap(({ crop }, index) => {
    const found = findCrop(season, crop);
    if (found.ok) return [];
    const path = ['fields', index, 'crop'];
    return [{ path, code: found.error.code, text: `cannot be used. ${found.error.text}` }];
  });
}

function logFaults(season: Season): SheetFault[] {
  const machines = season.machines.map((machine) => machine.id);
  const fields = season.fields.map((field) => field.name);
  const mappings = (season.mappings ?? []).map((mapping) => mapping.id);
  const faults: SheetFault[] = [];
  const firstUse = new Map<string, string>();
  for (const [index, log] of season.logs.entries()) {
    faults.push(...unknown(log.machine, machines, ['logs', index, 'machine'], 'machine'));
    faults.push(...unknown(log.field, fields, ['logs', index, 'field'], 'field'));
    faults.push(...unknown(log.mapping, mappings, ['logs', index, 'mapping'], 'mapping'));
    for (const [fileIndex, file] of log.files.entries()) {
      const path = ['logs', index, 'files', fileIndex];
      const key = normalised(file);
      const earlier = firstUse.get(key);
      if (earlier !== undefined) {
        const text = `lists "${file}" again (first in ${earlier}); list each file once, or its grain counts twice.`;
        faults.push({ path, code: 'repeated_name', text });
      } else firstUse.set(key, `logs[${index}].files[${fileIndex}]`);
    }
  }
  return faults;
}

/** A file cannot be two kinds of thing at once. Logs listed twice are said by `logFaults`; fields may share a boundary file. */
function roleFaults(season: Season): SheetFault[] {
  const firstUse = new Map<string, { readonly what: string; readonly where: string }>();
  const faults: SheetFault[] = [];
  const use = (file: string, what: string, path: JsonPath) => {
    const earlier = firstUse.get(normalised(file));
    if (earlier === undefined) firstUse.set(normalised(file), { what, where: jsonPathText(path) });
    else if (earlier.what !== what) {
      const text = `lists "${file}" as a ${what}, and ${earlier.where} lists it as a ${earlier.what}; correct the one that is wrong.`;
      faults.push({ path, code: 'file_in_two_roles', text });
    }
  };
  for (const [index, log] of season.logs.entries()) {
    for (const [k, file] of log.files.entries()) use(file, 'log', ['logs', index, 'files', k]);
  }
  for (const [index, file] of (season.tickets ?? []).entries()) use(file, 'ticket list', ['tickets', index]);
  for (const [index, { boundary }] of season.fields.entries()) {
    if (boundary !== undefined) use(boundary, 'boundary', ['fields', index, 'boundary']);
  }
  for (const [index, { file }] of (season.comparisons ?? []).entries()) {
    if (file !== undefined) use(file.path, 'file of treatments', ['comparisons', index, 'file', 'path']);
  }
  return faults;
}

function settingFaults(season: Season): SheetFault[] {
  const machines = season.machines.map((machine) => machine.id);
  const fields = season.fields.map((field) => field.name);
  const faults: SheetFault[] = [];
  for (const [index, lag] of (season.settings?.lags ?? []).entries()) {
    faults.push(...unknown(lag.field, fields, ['settings', 'lags', index, 'field'], 'field'));
    faults.push(...unknown(lag.machine, machines, ['settings', 'lags', index, 'machine'], 'machine'));
  }
  const { prior = [], agreements = [] } = season.settings?.calibration ?? {};
  const place = ['settings', 'calibration'] as const;
  for (const [index, { machine }] of prior.entries())
    faults.push(...unknown(machine, machines, [...place, 'prior', index, 'machine'], 'machine'));
  for (const [index, agreement] of agreements.entries())
    for (const key of ['machine', 'with'] as const)
      faults.push(...unknown(agreement[key], machines, [...place, 'agreements', index, key], 'machine'));
  for (const [index, { field, machine, from, to }] of (season.settings?.exclusions ?? []).entries()) {
    const path = ['settings', 'exclusions', index];
    faults.push(...unknown(field, fields, [...path, 'field'], 'field'));
    faults.push(...unknown(machine, machines, [...path, 'machine'], 'machine'));
    if (from !== undefined && to !== undefined && from > to) {
      const text = `comes before "from" (${from}); exchange the two.`;
      faults.push({ path: [...path, 'to'], code: 'times_reversed', text });
    }
  }
  return faults;
}

/** Names of comparisons, the fields and machines that they name, and those that costs name. */
function comparisonFaults(season: Season): SheetFault[] {
  const machines = season.machines.map((machine) => machine.id);
  const fields = season.fields.map((field) => field.name);
  const comparisons = season.comparisons ?? [];
  const faults = repeated(
    comparisons.map(({ name }) => name),
    (index) => ['comparisons', index, 'name'],
    'comparison name',
  );
  for (const [index, { field, spans = [] }] of comparisons.entries()) {
    const path = ['comparisons', index];
    faults.push(...unknown(field, fields, [...path, 'field'], 'field'));
    for (const [k, { machine }] of spans.entries())
      faults.push(...unknown(machine, machines, [...path, 'spans', k, 'machine'], 'machine'));
  }
  for (const [index, { field }] of (season.settings?.margin?.costs ?? []).entries())
    faults.push(...unknown(field, fields, ['settings', 'margin', 'costs', index, 'field'], 'field'));
  return faults;
}

function unknown(
  name: string | undefined,
  known: readonly string[],
  path: JsonPath,
  what: string,
): SheetFault[] {
  if (name === undefined || known.includes(name)) return [];
  const nearest = nearestWord(name, known);
  const list = known.length === 0 ? `the sheet has none` : `known: ${shownNames(known)}`;
  const hint = nearest === undefined ? list : `did you mean "${nearest}"`;
  const ending = nearest === undefined ? '.' : '?';
  return [
    {
      path,
      code: `unknown_${what}`,
      text: `names the ${what} "${name}", which the sheet does not have; ${hint}${ending}`,
    },
  ];
}

function repeated(names: readonly string[], pathOf: (index: number) => JsonPath, what: string): SheetFault[] {
  const seen = new Set<string>();
  const faults: SheetFault[] = [];
  for (const [index, name] of names.entries()) {
    if (seen.has(name)) {
      faults.push({
        path: pathOf(index),
        code: 'repeated_name',
        text: `repeats the ${what} "${name}"; give each its own.`,
      });
    }
    seen.add(name);
  }
  return faults;
}

/** `./logs//a.log` and `logs/a.log` are one file. */
function normalised(file: string): string {
  return file
    .split('/')
    .filter((step) => step !== '' && step !== '.')
    .join('/');
}
