/** `sheaflight home`, `new`, `pack`, `unpack`: the library of seasons from the command line. */
import { stat } from 'node:fs/promises';
import { basename, dirname, resolve } from 'node:path';
import { failure, type Notice, type Result, success } from '../../core/errors.ts';
import type { SeasonCard } from '../../core/host-contract.ts';
import type { FieldSheet, MachineSheet } from '../../core/season.ts';
import { diskFault } from '../host/disk-faults.ts';
import { partPathOf } from '../host/durable-write.ts';
import type { FileLayer } from '../host/file-layer.ts';
import { chosenHome } from '../host/home-folder.ts';
import { writePreferences } from '../host/preferences.ts';
import { packSeason } from '../host/season-pack.ts';
import { unpackSeason } from '../host/season-unpack.ts';
import { createSeason, listSeasons, usableHome } from '../host/seasons-home.ts';
import { EXIT, type ExitCode } from './exit-codes.ts';
import { refuse } from './refuse.ts';
import type { Streams } from './streams.ts';

export interface HomeChoices {
  readonly set?: string;
  readonly json?: boolean;
}

/** Lists the seasons of the library; with `--set`, remembers another folder for it first. */
export async function home(choices: HomeChoices, streams: Streams): Promise<ExitCode> {
  if (choices.set !== undefined) {
    const folder = await usableHome(resolve(choices.set));
    if (!folder.ok) return refuse(folder, streams);
    const saved = await writePreferences(process.env, { seasons_home: folder.value });
    if (!saved.ok) return refuse(saved, streams);
  }
  const { folder, chosen_by } = await chosenHome(process.env);
  const seasons = await listSeasons(folder, () => false);
  if (choices.json) streams.out(`${JSON.stringify({ folder, chosen_by, seasons }, null, 2)}\n`);
  else {
    streams.out(`${folder}\n`);
    if (seasons.length === 0) streams.out('No season is there yet: "sheaflight new <name>" makes one.\n');
    for (const card of seasons) streams.out(cardLine(card));
  }
  return EXIT.done;
}

export interface NewChoices {
  readonly units: 'us' | 'metric';
  readonly in?: string;
  /** `<name>:<crop>` each. */
  readonly field: readonly string[];
  readonly headerWidth?: number;
}

/** Makes a season in the library, or in the folder given with `--in`, and prints its folder. */
export async function newSeason(name: string, choices: NewChoices, streams: Streams): Promise<ExitCode> {
  const fields = fieldsFrom(choices.field);
  if (!fields.ok) return refuse(fields, streams);
  const made = await createSeason(await libraryOr(choices.in), {
    name,
    units: choices.units,
    fields: fields.value,
    machines: choices.headerWidth === undefined ? [] : [firstMachine(choices.headerWidth)],
  });
  return told(made, streams);
}

/** Writes `<season folder>.zip`, or what `--out` says; never over a file that is there. */
export async function pack(
  folder: string,
  choices: { readonly out?: string },
  streams: Streams,
): Promise<ExitCode> {
  const packed = await packSeason(folder);
  if (!packed.ok) return refuse(packed, streams);
  const path = resolve(choices.out ?? packed.value.name);
  if ((await stat(path).catch(() => undefined)) !== undefined) {
    const text = `${path} is there already; give another name with --out.`;
    return refuse({ error: { code: 'name_taken', source: path, text }, notices: [] }, streams);
  }
  return told(await written(path, packed.value.pieces, streams.layer), streams);
}

/** Unpacks a zipped season into the library, or into the folder given with `--in`, and prints its folder. */
export async function unpack(
  zip: string,
  choices: { readonly in?: string },
  streams: Streams,
): Promise<ExitCode> {
  return told(await unpackSeason(resolve(zip), await libraryOr(choices.in)), streams);
}

async function libraryOr(folder: string | undefined): Promise<string> {
  return folder === undefined ? (await chosenHome(process.env)).folder : resolve(folder);
}

function told(made: Result<string>, streams: Streams): ExitCode {
  if (!made.ok) return refuse(made, streams);
  for (const notice of made.notices) streams.err(noticeLine(notice));
  streams.out(`${made.value}\n`);
  return EXIT.done;
}

function noticeLine({ severity, text }: Notice): string {
  return `${severity === 'info' ? '' : '! '}${text}\n`;
}

/** `kestrel-flats-2026  Kestrel Flats 2026 (corn, soybeans; 2 fields, 5 log files; 2026-09-21 to 2026-10-03)` */
function cardLine(card: SeasonCard): string {
  const folder = basename(card.folder);
  if (card.problem !== null) {
    const mend = card.problem.can_restore
      ? ' The sheet before the last change is sound and can be restored.'
      : '';
    return `X ${folder}  ${card.problem.text}${mend}\n`;
  }
  const parts = [
    card.crops.join(', '),
    `${counted(card.fields.length, 'field')}, ${counted(card.log_files, 'log file')}`,
    card.first_utc === null || card.last_utc === null
      ? ''
      : `${card.first_utc.slice(0, 10)} to ${card.last_utc.slice(0, 10)}`,
  ];
  return `  ${folder}  ${card.name} (${parts.filter((part) => part !== '').join('; ')})\n`;
}

function counted(count: number, what: string): string {
  return `${count} ${what}${count === 1 ? '' : 's'}`;
}

function fieldsFrom(given: readonly string[]): Result<FieldSheet[]> {
  const fields: FieldSheet[] = [];
  for (const text of given) {
    const at = text.lastIndexOf(':');
    const name = text.slice(0, at).trim();
    const crop = text.slice(at + 1).trim();
    if (at < 0 || name === '' || crop === '') {
      const sentence = `--field ${JSON.stringify(text)} is not understood; write it as <name>:<crop>, for example "Home:corn".`;
      return failure({ code: 'bad_field', source: text, text: sentence });
    }
    fields.push({ name, crop });
  }
  return success(fields);
}

function firstMachine(width_m: number): MachineSheet {
  return { id: 'c1', name: 'combine 1', header: { width_m } };
}

async function written(
  path: string,
  pieces: AsyncIterable<Uint8Array>,
  layer: FileLayer,
): Promise<Result<string>> {
  const part = partPathOf(path);
  try {
    await layer.makeFolder(dirname(path));
    const file = await layer.openForWriting(part);
    try {
      for await (const piece of pieces) await file.write(piece);
      await file.sync();
    } finally {
      await file.close();
    }
    await layer.rename(part, path);
    await layer.syncFolder(dirname(path));
    return success(path);
  } catch (caught) {
    return failure(diskFault(caught, `write ${basename(path)} in ${dirname(path)}`, path));
  } finally {
    await layer.remove(part).catch(() => undefined);
  }
}
