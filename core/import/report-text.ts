/** An import report in plain text, for the command: what was taken, what was there, what cannot be used, what is left to say. */
import type { ImportedFile, ImportReport, ImportSpan } from '../host-contract.ts';
import { damageList } from '../read/damage.ts';
import type { FileKind } from '../read/recognise.ts';
import { timeFromIso } from '../read/utc.ts';
import { shownText } from '../shown-text.ts';

const KIND_WORDS: Readonly<Record<FileKind, string>> = {
  tick_log: 'tick log',
  nmea: 'NMEA log',
  tally_log: 'tally log',
  tickets: 'tickets',
  boundary: 'boundary',
  delimited: 'table',
  unknown: 'unknown',
};
/** Paths are told apart by their ends. */
const MOST_NAME = 120;
/** Further days of one file are counted only. */
const MOST_DAYS = 3;

/** `mode`: `look` words it as what would be done. */
export function importText(report: ImportReport, mode: 'done' | 'look'): string {
  const { files } = report;
  const of = (outcome: ImportedFile['outcome']) => files.filter((file) => file.outcome === outcome);
  const taken = of('imported');
  const lines = [countLine(files, mode)];
  lines.push(...section(mode === 'look' ? 'Would be taken in' : 'Taken in', taken.flatMap(takenLines)));
  lines.push(...section('There already', of('already_there').map(plainLine)));
  lines.push(...section('Waiting for a column mapping', of('needs_mapping').flatMap(mappingLines)));
  lines.push(...section('Cannot be used', of('refused').map(plainLine)));
  lines.push(...section('Work that no file holds', report.gaps.map(spanLine)));
  lines.push(...section('Told by two files (counted once)', report.overlaps.map(spanLine)));
  const said = report.notices
    .filter(({ code }) => code !== 'small_damage')
    .map(({ text }) => shownText(text, 600));
  lines.push(...section('Noticed', said));
  const { questions } = report;
  lines.push(
    ...section(
      'Needed before a build',
      questions.filter(({ weight }) => weight === 'needed').map(({ text }) => text),
    ),
  );
  lines.push(
    ...section(
      'To confirm',
      questions.filter(({ weight }) => weight === 'confirm').map(({ text }) => text),
    ),
  );
  return `${lines.join('\n')}\n`;
}

function countLine(files: readonly ImportedFile[], mode: 'done' | 'look'): string {
  const counts: readonly [ImportedFile['outcome'], string][] = [
    ['imported', mode === 'look' ? 'would be taken in' : 'taken in'],
    ['already_there', 'there already'],
    ['needs_mapping', 'waiting for a column mapping'],
    ['refused', 'of no use'],
  ];
  const parts = counts
    .map(([outcome, words]) => [files.filter((file) => file.outcome === outcome).length, words] as const)
    .filter(([count]) => count > 0)
    .map(([count, words]) => `${count} ${words}`);
  return `${files.length} file${files.length === 1 ? '' : 's'} looked into: ${parts.join(', ')}.`;
}

function section(title: string, lines: readonly string[]): string[] {
  return lines.length === 0 ? [] : ['', `${title}:`, ...lines.map((line) => `  ${line}`)];
}

function takenLines(file: ImportedFile): string[] {
  const machine =
    file.machines.length > 0 ? `from ${file.machines.map((name) => shownText(name)).join(', ')}` : '';
  const fields = file.fields.length > 0 ? `in ${file.fields.map((name) => shownText(name)).join(', ')}` : '';
  const about = [KIND_WORDS[file.kind], spanText(file), `${file.lines} lines`, machine, fields];
  const lines = [`${named(file)}: ${about.filter((part) => part !== '').join(', ')}`];
  const why = [file.reason, file.machine_reason === null ? '' : `Machine: ${file.machine_reason}.`];
  lines.push(`    ${shownText(why.filter((part) => part !== '').join(' '), 300)}`);
  const damage = damageList(file.damage);
  if (damage !== '') lines.push(`    damaged: ${damage}`);
  if (file.mapping !== null) lines.push(...columnLines(file));
  return lines;
}

function mappingLines(file: ImportedFile): string[] {
  const why = file.text === null ? '' : `: ${withoutName(file.text, file)}`;
  const rows = (file.mapping?.rows ?? []).slice(0, 2).map((row) => `    ${shownText(row.join(' | '), 160)}`);
  const header = file.mapping === null ? [] : [`    ${shownText(file.mapping.header.join(' | '), 160)}`];
  return [`${named(file)}${why}`, ...header, ...rows, ...columnLines(file)];
}

function columnLines({ mapping }: ImportedFile): string[] {
  if (mapping === null) return [];
  if (mapping.remembered)
    return [
      `    read through the column mapping "${shownText(mapping.mapping.id)}", remembered from a file like it`,
    ];
  return mapping.columns.map(
    ({ quantity, confidence, reason }) =>
      `    ${quantity} (${Math.round(100 * confidence)} % sure) ${shownText(reason, 200)}`,
  );
}

function plainLine(file: ImportedFile): string {
  return `${named(file)}: ${withoutName(file.text ?? file.reason, file)}`;
}

/** What is said of a file, for a line that begins with its name. */
function withoutName(text: string, { source_name }: ImportedFile): string {
  const rest = [`${source_name}: `, `${source_name} `].find((start) => text.startsWith(start))?.length ?? 0;
  return shownText(text.slice(rest), 400);
}

/** `stick/LOG7.TXT -> logs/LOG7.TXT` */
function named({ source_name, path }: ImportedFile): string {
  const name = source_name.length > MOST_NAME ? `…${source_name.slice(-MOST_NAME)}` : source_name;
  return path === null ? shownText(name, MOST_NAME + 1) : `${shownText(name, MOST_NAME + 1)} -> ${path}`;
}

/** `2026-10-06 14:20 to 16:02 UTC` and the days by the sun where they are more than one. */
function spanText({ first_utc, last_utc, days }: ImportedFile): string {
  if (first_utc === null || last_utc === null) return '';
  const sameDay = first_utc.slice(0, 10) === last_utc.slice(0, 10);
  const end = sameDay ? last_utc.slice(11, 16) : `${last_utc.slice(0, 10)} ${last_utc.slice(11, 16)}`;
  const more = days.length > MOST_DAYS ? `, ${days.length} days` : '';
  return `${first_utc.slice(0, 10)} ${first_utc.slice(11, 16)} to ${end} UTC${more}`;
}

function spanLine({ machine, first_utc, last_utc, files }: ImportSpan): string {
  const seconds =
    (timeFromIso(last_utc)?.utc_s ?? Number.NaN) - (timeFromIso(first_utc)?.utc_s ?? Number.NaN);
  const minutes = Math.round(seconds / 60);
  return `${shownText(machine)}: ${minutes} min from ${first_utc.slice(0, 16).replace('T', ' ')} UTC, between ${files.map((file) => shownText(file, MOST_NAME)).join(' and ')}`;
}
