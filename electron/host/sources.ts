/** Reads everything that a season sheet lists, once: logs as they come from the disk, texts, and what identifies each file. */
import type { DataError, Notice } from '../../core/errors.ts';
import { failure, type Result, success } from '../../core/errors.ts';
import { chatterOf, createLogReader, type LogReading } from '../../core/pipeline/log-reader.ts';
import type { SeasonSources } from '../../core/pipeline.ts';
import type { EnteredChatter } from '../../core/signal/beam-reading.ts';
import type { SeasonCache } from './cache/season-cache.ts';
import { hashFile } from './file-hash.ts';
import { type FileIdentity, fileIdentity } from './file-identity.ts';
import { treatmentPaths } from './season-files.ts';
import { type OpenSeason, withFileInside } from './season-folder.ts';
import type { SourceMemory } from './source-memory.ts';
import { decodeTextFile } from './text-decoding.ts';
import { GUNZIP_BOUNDS, type GunzipBounds, Unpacker } from './unpacker.ts';

export interface SourceOptions {
  readonly bounds?: GunzipBounds;
  /** What earlier runs of the season have read. */
  readonly memory?: SourceMemory;
  /** What is kept on the disk of earlier readings. */
  readonly cache?: SeasonCache;
}

/**
 * Reads logs, tickets and boundaries of a season. Every missing or unreadable file is named: the first as the error, the
 * others as notices of severity `mend`.
 */
export async function readSources(
  open: OpenSeason,
  options: SourceOptions = {},
): Promise<Result<SeasonSources>> {
  const chatter = chatterOf(open.season);
  const logs = new Map<string, Result<LogReading>>();
  const texts = new Map<string, string>();
  const hashes = new Map<string, string>();
  const notices: Notice[] = [];
  const errors: DataError[] = [];
  for (const { path, kind } of listedFiles(open)) {
    const read =
      kind === 'log'
        ? await readListedLog(open, path, chatter, options)
        : await readText(open, path, options);
    notices.push(...read.notices);
    if (!read.ok) {
      errors.push(read.error);
      continue;
    }
    hashes.set(path, read.value.sha256);
    if ('log' in read.value) logs.set(path, read.value.log);
    else texts.set(path, read.value.text);
  }
  if (errors.length > 0) {
    const more = errors.slice(1).map((error): Notice => ({ ...error, severity: 'mend', count: 1 }));
    return failure(errors[0], [...more, ...notices]);
  }
  return success({ logs, chatter, texts, hashes }, notices);
}

interface ListedFile {
  readonly path: string;
  /** Logs that are read through a column mapping are text. */
  readonly kind: 'log' | 'text';
}

function listedFiles({ season }: OpenSeason): ListedFile[] {
  const files = new Map<string, ListedFile>();
  for (const log of season.logs) {
    for (const path of log.files) files.set(path, { path, kind: log.mapping === undefined ? 'log' : 'text' });
  }
  for (const path of season.tickets ?? []) files.set(path, { path, kind: 'text' });
  for (const { boundary } of season.fields)
    if (boundary !== undefined) files.set(boundary, { path: boundary, kind: 'text' });
  for (const path of treatmentPaths(season)) files.set(path, { path, kind: 'text' });
  return [...files.values()];
}

interface ListedLog {
  readonly sha256: string;
  readonly log: Result<LogReading>;
}

/** A log as its reader leaves it. Its own troubles are the reading's; here it fails only when its bytes cannot be had. */
function readListedLog(
  { folder }: OpenSeason,
  listed: string,
  chatter: EnteredChatter,
  options: SourceOptions,
): Promise<Result<ListedLog>> {
  const reading = `log, bridged below ${chatter.bridge_lit_ms} ms, dropped below ${chatter.drop_dark_ms} ms`;
  return remembered(folder, listed, reading, options, () => {
    const reader = createLogReader(listed, chatter);
    return {
      push: (piece) => reader.push(piece),
      finish: (sha256) => success({ sha256, log: reader.finish() }),
    };
  });
}

/** How tickets, boundaries and mapped logs are read. */
const TEXT = 'text';

interface ListedText {
  readonly sha256: string;
  readonly text: string;
}

function readText(
  { folder }: OpenSeason,
  listed: string,
  options: SourceOptions,
): Promise<Result<ListedText>> {
  return remembered(folder, listed, TEXT, options, () => {
    const pieces: Buffer[] = [];
    return {
      push: (piece) => pieces.push(Buffer.from(piece)),
      finish: (sha256) => {
        const text = textOf(Buffer.concat(pieces), listed);
        return text.ok ? success({ sha256, text: text.value }, text.notices) : text;
      },
    };
  });
}

/** Takes the unpacked bytes of a file, and makes something of them and of its hash. */
interface BytesReader<Made> {
  readonly push: (piece: Uint8Array) => void;
  readonly finish: (sha256: string) => Result<Made>;
}

/**
 * What the reader makes of the file; what it made before where the file is as it was then. Where its times are too young to
 * tell, its hash does.
 */
async function remembered<Made>(
  folder: string,
  listed: string,
  reading: string,
  options: SourceOptions,
  begin: () => BytesReader<Made>,
): Promise<Result<Made>> {
  const { bounds = GUNZIP_BOUNDS, memory, cache } = options;
  const read = await withFileInside(folder, listed, async (path) => {
    if (memory === undefined && cache === undefined)
      return (await unpacked(path, listed, bounds, begin())).made;
    const identity = await fileIdentity(path);
    const known = memory?.get(listed);
    const isSame = known?.reading === reading && known.identity.text === identity.text;
    if (isSame && known.identity.isSettled) return known.made as Result<Made>;
    let sha256 = await hashKnownOf(path, listed, identity, isSame, options);
    let made = isSame && sha256 === known.sha256 ? known.made : undefined;
    if (sha256 !== undefined && reading !== TEXT)
      made ??= (await cache?.log({ path: listed, sha256, reading })) as typeof made;
    if (sha256 === undefined || made === undefined) {
      ({ sha256, made } = await unpacked(path, listed, bounds, begin()));
      if (made.ok && reading !== TEXT) cache?.rememberLog({ path: listed, sha256, reading }, made);
    }
    const after = await fileIdentity(path);
    if (after.text !== identity.text) return made as Result<Made>;
    memory?.set(listed, { identity, sha256, reading, made });
    if (identity.isSettled) await cache?.noteHash(listed, identity.text, sha256);
    return made as Result<Made>;
  });
  return read.ok ? read.value : read;
}

/** The file's hash where that spares reading it: from its identity, or by hashing where what it held is likely to be known. */
async function hashKnownOf(
  path: string,
  listed: string,
  { text, isSettled }: FileIdentity,
  isInMemory: boolean,
  { cache }: SourceOptions,
): Promise<string | undefined> {
  const known = isSettled ? await cache?.knownHash(listed, text) : undefined;
  if (known !== undefined) return known;
  if (!isInMemory && !(await cache?.hasHashed(listed))) return undefined;
  return (await hashFile(path)).sha256;
}

async function unpacked<Made>(
  path: string,
  listed: string,
  bounds: GunzipBounds,
  reader: BytesReader<Made>,
): Promise<{ readonly sha256: string; readonly made: Result<Made> }> {
  const unpacker = new Unpacker(listed, reader.push, bounds);
  const { sha256 } = await hashFile(path, (piece) => unpacker.push(piece));
  const ended = await unpacker.finish();
  if (!ended.ok) return { sha256, made: ended };
  const made = reader.finish(sha256);
  return { sha256, made: { ...made, notices: [...ended.notices, ...made.notices] } };
}

function textOf(bytes: Uint8Array, path: string): Result<string> {
  const decoded = decodeTextFile(bytes, path);
  if (!decoded.ok) return decoded;
  const { text, encoding } = decoded.value;
  if (encoding !== 'windows-1252') return success(text);
  const sentence = `${path} is not UTF-8; it was read as Windows-1252. Check names with accents.`;
  return success(text, [
    { code: 'guessed_encoding', severity: 'info', source: path, count: 1, text: sentence },
  ]);
}
