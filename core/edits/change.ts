/** What an edit comes to, and how its refusals and its name in the history are worded. */
import { failure, type Result } from '../errors.ts';
import { nearestWord } from '../nearest-word.ts';
import type { Season } from '../season.ts';
import { isJsonObject, type JsonObject } from './merge-patch.ts';

export interface Change {
  readonly season: Season;
  /** How it reads in the history, e.g. "Lag set to 12.0 s in Home". */
  readonly name: string;
}

/** An edit that names something which is not there. */
export function notThere(what: string, name: string, known: readonly string[]): Result<never> {
  const near = nearestWord(name, known);
  const hint = near === undefined ? '.' : `; did you mean "${near}"?`;
  const text = `The season has no ${what} "${name}"${hint}`;
  return failure({ code: `no_such_${what.replaceAll(' ', '_')}`, source: 'season.json', text });
}

/** An edit that others things stand against. */
export function refused(text: string): Result<never> {
  return failure({ code: 'edit_refused', source: 'season.json', text });
}

/** "1 log file", "3 log files" */
export function counted(count: number, what: string): string {
  return `${count} ${what}${count === 1 ? '' : 's'}`;
}

/** Units that end a key, as people write them. */
const KEY_UNITS: Readonly<Record<string, string>> = {
  mm: 'mm',
  m: 'm',
  s: 's',
  ms: 'ms',
  pct: '%',
  lb: 'lb',
  kg_m3: 'kg/m³',
  m_s: 'm/s',
  t_ha: 't/ha',
};

/**
 * What a patch does to something, e.g. `{ header: { width_m: 9 } }` of "combine 1" → "Header width set to 9 m in
 * combine 1"; more than two numbers at once → "4 entries changed in combine 1".
 */
export function patchName(patch: JsonObject, of: string): string {
  const leaves = leavesOf(patch, []);
  if (leaves.length > 2) return `${leaves.length} entries changed in ${of}`;
  if (leaves.length === 0) return `Nothing changed in ${of}`;
  return `${capitalised(leaves.map(leafText).join(', '))} in ${of}`;
}

interface Leaf {
  readonly path: readonly string[];
  readonly held: unknown;
}

function leavesOf(patch: JsonObject, path: readonly string[]): Leaf[] {
  return Object.entries(patch).flatMap(([key, held]) =>
    isJsonObject(held) ? leavesOf(held, [...path, key]) : [{ path: [...path, key], held }],
  );
}

function leafText({ path, held }: Leaf): string {
  const key = path[path.length - 1];
  const unit = Object.keys(KEY_UNITS)
    .filter((suffix) => key.endsWith(`_${suffix}`))
    .sort((a, b) => b.length - a.length)[0];
  const plain = unit === undefined ? key : key.slice(0, -unit.length - 1);
  const words = [...path.slice(0, -1), plain].join(' ').replaceAll('_', ' ');
  if (held === null) return `${words} taken away`;
  if (typeof held === 'boolean') return `${words} switched ${held ? 'on' : 'off'}`;
  if (typeof held === 'number')
    return `${words} set to ${held}${unit === undefined ? '' : ` ${KEY_UNITS[unit]}`}`;
  if (typeof held === 'string') return `${words} set to ${held}`;
  return `${words} changed`;
}

export function capitalised(text: string): string {
  return text.slice(0, 1).toUpperCase() + text.slice(1);
}
