/** The files that an import is given: folders walked, parts of a Shapefile put together, what systems leave behind passed over. */
import { lstat, readdir, realpath, stat } from 'node:fs/promises';
import { basename, join, relative, sep } from 'node:path';
import type { DataError, Notice } from '../../core/errors.ts';
import { failure, type Result, success } from '../../core/errors.ts';
import { SEASON_FILE } from '../../core/season-file.ts';
import { shownText } from '../../core/shown-text.ts';
import { codeOf } from './file-layer.ts';
import { SHAPEFILE_ENDINGS } from './shapefile.ts';

/** One file that wants in. */
export interface ImportSource {
  readonly path: string;
  /** The path as it was given or found, with forward slashes: what the report calls it, and what may name a machine. */
  readonly id: string;
  /** What it is called, without its folders. */
  readonly source_name: string;
  /** Other parts of the same Shapefile, which come with it. */
  readonly parts: readonly string[];
}

export interface ImportSources {
  readonly sources: readonly ImportSource[];
}

/** A stick with three weeks of harvest has dozens; more is a wrong folder. A choice of ours. */
const MOST_FILES = 5000;
const DEEPEST = 12;
/** What systems and sticks leave in folders without being asked. */
const JUNK = /^(\.|~\$|Thumbs\.db$|desktop\.ini$|__MACOSX$|System Volume Information$|\$RECYCLE\.BIN$)/i;

/**
 * All files in and below `paths`, sorted, each once, and uploads by the names that they came with. Hidden files are passed
 * over, and so is every season folder on the way (that of `seasonFolder` among them), as its files are in a season already;
 * links in folders are not followed. Fails with `no_such_path`, `nothing_to_import` or `too_many_files`.
 */
export async function importSources(
  paths: readonly string[],
  uploads: readonly { readonly path: string; readonly source_name: string }[],
  seasonFolder: string,
): Promise<Result<ImportSources>> {
  const found = new Map<string, ImportSource>();
  const notices: Notice[] = [];
  for (const given of paths) {
    const real = await realpath(given).catch((caught: unknown) => codeOf(caught));
    const isThere = await stat(given).catch(() => undefined);
    if (isThere === undefined) return failure(noSuchPath(given, real));
    if (isThere.isDirectory()) {
      const walked = await walk(given, basename(real), { seasonFolder, found, notices, depth: 0 });
      if (!walked.ok) return walked;
    } else add(found, real, slashed(given));
  }
  for (const { path, source_name } of uploads) add(found, path, source_name);
  if (found.size === 0) {
    const text = `There is no file to import in ${paths.map((path) => shownText(path)).join(', ')}.`;
    return failure({ code: 'nothing_to_import', source: paths[0] ?? 'import', text }, notices);
  }
  return success({ sources: withParts([...found.values()].sort(byId)) }, notices);
}

interface Walk {
  readonly seasonFolder: string;
  readonly found: Map<string, ImportSource>;
  readonly notices: Notice[];
  readonly depth: number;
}

async function walk(folder: string, shown: string, on: Walk): Promise<Result<undefined>> {
  const entries = await readdir(folder, { withFileTypes: true }).catch((caught: unknown) => codeOf(caught));
  if (typeof entries === 'string') {
    on.notices.push(notLooked(shown, `it cannot be read (${entries})`));
    return success(undefined);
  }
  const isSeason = entries.some(({ name }) => name === SEASON_FILE);
  if (isSeason || (await realpath(folder)) === on.seasonFolder) {
    if (on.depth > 0 || isSeason) on.notices.push(notLooked(shown, 'it is a season folder'));
    return success(undefined);
  }
  for (const entry of entries.sort((a, b) => (a.name < b.name ? -1 : 1))) {
    if (JUNK.test(entry.name)) continue;
    const path = join(folder, entry.name);
    const id = `${shown}/${entry.name}`;
    if (entry.isDirectory()) {
      if (on.depth >= DEEPEST) on.notices.push(notLooked(id, `it lies more than ${DEEPEST} folders deep`));
      else {
        const walked = await walk(path, id, { ...on, depth: on.depth + 1 });
        if (!walked.ok) return walked;
      }
    } else if (entry.isFile()) {
      add(on.found, path, id);
      if (on.found.size > MOST_FILES) {
        const text = `${shownText(shown)} holds more than ${MOST_FILES} files; give the folder of the logger, not a whole disk.`;
        return failure({ code: 'too_many_files', source: shown, text });
      }
    } else if ((await lstat(path)).isSymbolicLink()) {
      on.notices.push(notLooked(id, 'it is a link; give the file itself'));
    }
  }
  return success(undefined);
}

/** Files of one name from two sticks get a number behind it, for an id tells a file apart from all others. */
function add(found: Map<string, ImportSource>, path: string, id: string): void {
  if (found.has(path)) return;
  const ids = new Set([...found.values()].map((source) => source.id));
  let own = id;
  for (let number = 2; ids.has(own); number++) own = `${id} (${number})`;
  found.set(path, { path, id: own, source_name: basename(id), parts: [] });
}

/** Parts of a Shapefile go with their .shp; those without one stay, and will be refused by what they are. */
function withParts(sources: readonly ImportSource[]): ImportSource[] {
  const stems = new Map<string, ImportSource>();
  for (const source of sources) {
    if (endingOf(source.path) === 'shp') stems.set(stemOf(source.path), source);
  }
  const parts = new Map<ImportSource, string[]>();
  const rest = sources.filter((source) => {
    const ending = endingOf(source.path);
    const shape = ending === 'shp' ? undefined : stems.get(stemOf(source.path));
    if (shape === undefined || !SHAPEFILE_ENDINGS.some((known) => known === ending)) return true;
    parts.set(shape, [...(parts.get(shape) ?? []), source.path]);
    return false;
  });
  return rest.map((source) => ({ ...source, parts: parts.get(source) ?? [] }));
}

/** `boundary.shp.xml` → `shp.xml`. */
function endingOf(path: string): string {
  const name = basename(path).toLowerCase();
  return name.endsWith('.shp.xml') ? 'shp.xml' : name.slice(name.lastIndexOf('.') + 1);
}

function stemOf(path: string): string {
  return path.slice(0, path.length - endingOf(path).length - 1).toLowerCase();
}

function byId(a: ImportSource, b: ImportSource): number {
  return a.id < b.id ? -1 : 1;
}

/** As short as it stays clear: from the working folder when it lies there. */
function slashed(given: string): string {
  const way = relative(process.cwd(), given);
  const short = way === '' || way.startsWith('..') ? given : way;
  return short.split(sep).join('/').replace(/^\.\//, '');
}

function noSuchPath(given: string, code: string): DataError {
  const why =
    code === 'ENOENT' || code === 'ENOTDIR'
      ? 'is not there; is the stick connected?'
      : `cannot be read (${code}).`;
  return { code: 'no_such_path', source: given, text: `${shownText(given)} ${why}` };
}

function notLooked(source: string, why: string): Notice {
  return {
    code: 'passed_over',
    severity: 'info',
    source,
    count: 1,
    text: `${shownText(source)} was passed over: ${why}.`,
  };
}
