/** Edits that list the logs of an import: one entry a machine and mapping, files in the order of time. */
import type { SingleEdit } from '../edits/season-edit.ts';
import type { ColumnMappingSheet, Season } from '../season.ts';
import { shownText } from '../shown-text.ts';
import { stemOf } from './boundary-plan.ts';
import type { ImportCandidate } from './import-plan.ts';
import type { LogOutline } from './log-outline.ts';
import type { LoggerChain } from './logger-chains.ts';

export interface PlannedLog {
  readonly log: LogOutline;
  readonly machine: string;
  readonly mapping: string | undefined;
  /** Named only when the user did: boundaries tell the field of each row. */
  readonly field: string | undefined;
}

/** Mappings to be remembered, and which of them each table is read through, by candidate's id. */
export interface PlannedMappings {
  readonly added: readonly ColumnMappingSheet[];
  readonly of: ReadonlyMap<string, string>;
}

/** One mapping for all tables that are read alike; its id is the name of the first of them. */
export function planMappings(season: Season, candidates: readonly ImportCandidate[]): PlannedMappings {
  const added: ColumnMappingSheet[] = [];
  const of = new Map<string, string>();
  const taken = new Set((season.mappings ?? []).map(({ id }) => id));
  for (const { id, inspection } of candidates) {
    const { content } = inspection;
    if (content.kind !== 'table' || content.mapping === undefined || content.log === undefined) continue;
    const { mapping } = content;
    const alike = [...(season.mappings ?? []), ...added].find(
      (other) => sayingOf(other) === sayingOf(mapping),
    );
    if (alike !== undefined) {
      of.set(id, alike.id);
      continue;
    }
    const named = freeId(mapping.id === '' ? shownText(stemOf(inspection.name)) : mapping.id, taken);
    added.push({ ...mapping, id: named });
    of.set(id, named);
  }
  return { added, of };
}

/**
 * Adds the logs. An entry in which beam and fixes stand in files of their own is laid anew in the order of time, for its
 * runs are paired in the order of the files.
 */
export function logEdits(
  season: Season,
  planned: readonly PlannedLog[],
  chains: readonly LoggerChain[],
  pathOf: (name: string) => string | undefined,
): SingleEdit[] {
  const groups = new Map<string, PlannedLog[]>();
  for (const one of planned) {
    const key = JSON.stringify([one.machine, one.mapping ?? '', one.field ?? '']);
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  return [...groups.values()].flatMap((group) => {
    const { machine, mapping, field } = group[0];
    const own = {
      machine,
      ...(mapping === undefined ? {} : { mapping }),
      ...(field === undefined ? {} : { field }),
    };
    const parted = group.some(({ log }) => log.kind === 'ticks' && !(log.hasGrain && log.hasFixes));
    const listed = parted ? entryFiles(season, own) : [];
    const ids = new Map(group.map(({ log }) => [log.id, pathOf(log.id)]));
    const ordered = inTime([...listed, ...ids.keys()], chains)
      .map((id) => ids.get(id) ?? (listed.includes(id) ? id : undefined))
      .filter((path) => path !== undefined);
    if (ordered.length === 0) return [];
    const taken: SingleEdit[] = listed.length > 0 ? [{ kind: 'remove_logs', files: listed }] : [];
    return [...taken, { kind: 'add_logs', files: ordered, ...own } as SingleEdit];
  });
}

/** Files of the season's entry that says just this. */
function entryFiles(
  season: Season,
  own: { readonly machine: string; readonly mapping?: string; readonly field?: string },
): readonly string[] {
  return season.logs
    .filter(
      ({ machine, mapping, field, tick_zero_utc }) =>
        machine === own.machine &&
        mapping === own.mapping &&
        field === own.field &&
        tick_zero_utc === undefined,
    )
    .flatMap(({ files }) => files);
}

/** Chains, and the logs in them, stand in the order of time already; files of which nothing is known come last. */
function inTime(ids: readonly string[], chains: readonly LoggerChain[]): string[] {
  const place = new Map(chains.flatMap(({ logs }) => logs).map(({ id }, k) => [id, k]));
  const last = place.size;
  return [...ids].sort((a, b) => (place.get(a) ?? last) - (place.get(b) ?? last));
}

/** All that a mapping says, but for its name. */
function sayingOf({ id: _, header: __, ...said }: ColumnMappingSheet): string {
  return JSON.stringify(Object.entries(said).sort(([a], [b]) => (a < b ? -1 : 1)));
}

function freeId(wanted: string, taken: Set<string>): string {
  for (let number = 1; ; number++) {
    const id = number === 1 ? wanted : `${wanted} ${number}`;
    if (taken.has(id)) continue;
    taken.add(id);
    return id;
  }
}
