/** Which files bring something new: the same file twice, a copy taken at noon and again at night, and what no reader can use. */
import type { FileRecord } from '../season.ts';
import type { FilePlan, ImportCandidate, SeasonFile } from './import-plan.ts';
import { areTicketsContained, contentOf, isContained } from './known-content.ts';
import { type LogOutline, logOutline } from './log-outline.ts';

export interface SortedCandidates {
  /** What is not taken, by id. */
  readonly settled: ReadonlyMap<string, FilePlan>;
  /** Logs that are taken. */
  readonly logs: readonly LogOutline[];
  readonly tickets: readonly ImportCandidate[];
  readonly boundaries: readonly ImportCandidate[];
  /** Logs of the season, by path. */
  readonly seasonLogs: readonly LogOutline[];
  /** Logs of the season all of which stands in a new one: path → id of the new one. */
  readonly replaced: ReadonlyMap<string, string>;
}

/** `recorded`: files that were copied in before, listed or not. */
export function sortCandidates(
  candidates: readonly ImportCandidate[],
  listed: readonly SeasonFile[],
  recorded: readonly FileRecord[],
): SortedCandidates {
  const settled = new Map<string, FilePlan>();
  settleSameBytes(candidates, listed, recorded, settled);
  for (const { id, inspection } of candidates) {
    if (settled.has(id)) continue;
    if (inspection.content.kind === 'table' && inspection.content.log === undefined) {
      settled.set(id, { outcome: 'needs_mapping', text: mappingText(inspection) });
    } else if (inspection.error !== undefined)
      settled.set(id, { outcome: 'refuse', error: inspection.error });
  }
  const open = candidates.filter(({ id }) => !settled.has(id));
  const seasonLogs = outlinesOf(listed.map(({ path, inspection }) => ({ id: path, inspection })));
  const logs = withoutContained(outlinesOf(open), seasonLogs, settled);
  const replaced = new Map<string, string>();
  for (const old of seasonLogs) {
    const fuller = logs.find((log) => isContained(old, log));
    if (fuller !== undefined) replaced.set(old.id, fuller.id);
  }
  return {
    settled,
    logs,
    tickets: withoutContainedTickets(open, listed, settled),
    boundaries: open.filter(({ inspection }) => inspection.content.kind === 'boundary'),
    seasonLogs,
    replaced,
  };
}

function settleSameBytes(
  candidates: readonly ImportCandidate[],
  listed: readonly SeasonFile[],
  recorded: readonly FileRecord[],
  settled: Map<string, FilePlan>,
): void {
  const inSeason = new Map(listed.map(({ sha256, path }) => [sha256, path]));
  const copied = new Map(recorded.map(({ sha256, path }) => [sha256, path]));
  const first = new Map<string, string>();
  for (const { id, sha256, inspection } of candidates) {
    // a boundary that outlines were taken out of is not listed itself; a log that was taken off the list may come back
    const isBoundary = inspection.content.kind === 'boundary';
    const path = inSeason.get(sha256) ?? (isBoundary ? copied.get(sha256) : undefined);
    const other = first.get(sha256);
    if (path !== undefined) {
      settled.set(id, { outcome: 'known', same_as: path, text: `it is in the season already, as ${path}` });
    } else if (other !== undefined && inspection.error === undefined) {
      settled.set(id, {
        outcome: 'known',
        same_as: other,
        text: `it is the same file as ${other}, byte for byte`,
      });
    } else first.set(sha256, id);
  }
}

/** The fullest logs first, so that copies meet the log that holds them. */
function withoutContained(
  logs: readonly LogOutline[],
  seasonLogs: readonly LogOutline[],
  settled: Map<string, FilePlan>,
): LogOutline[] {
  const kept: LogOutline[] = [];
  for (const log of [...logs].sort((a, b) => contentOf(b) - contentOf(a) || (a.id < b.id ? -1 : 1))) {
    const whole = [...seasonLogs, ...kept].find((other) => isContained(log, other));
    if (whole === undefined) kept.push(log);
    else
      settled.set(log.id, {
        outcome: 'known',
        same_as: whole.id,
        text: `all that it holds stands in ${whole.id}`,
      });
  }
  return kept;
}

function withoutContainedTickets(
  candidates: readonly ImportCandidate[],
  listed: readonly SeasonFile[],
  settled: Map<string, FilePlan>,
): ImportCandidate[] {
  const ticketsOf = ({ inspection }: { readonly inspection: ImportCandidate['inspection'] }) =>
    inspection.content.kind === 'tickets' ? inspection.content.tickets : [];
  const own = candidates.filter(({ inspection }) => inspection.content.kind === 'tickets');
  const kept: ImportCandidate[] = [];
  for (const candidate of [...own].sort(
    (a, b) => ticketsOf(b).length - ticketsOf(a).length || (a.id < b.id ? -1 : 1),
  )) {
    const others = [
      ...listed.map((file) => ({ name: file.path, tickets: ticketsOf(file) })),
      ...kept.map((file) => ({ name: file.id, tickets: ticketsOf(file) })),
    ];
    const whole = others.find(({ tickets }) => areTicketsContained(ticketsOf(candidate), tickets));
    if (whole === undefined) kept.push(candidate);
    else {
      const text = `all of its tickets stand in ${whole.name}`;
      settled.set(candidate.id, { outcome: 'known', same_as: whole.name, text });
    }
  }
  return kept;
}

function outlinesOf(files: readonly Pick<ImportCandidate, 'id' | 'inspection'>[]): LogOutline[] {
  return files.flatMap(({ id, inspection }) => {
    const outline = logOutline(id, inspection);
    return outline === undefined ? [] : [outline];
  });
}

function mappingText({ name, error, content }: ImportCandidate['inspection']): string {
  const guess = content.kind === 'table' ? content.guess : undefined;
  if (error !== undefined) return error.text;
  if (guess !== undefined && guess.lacking.length > 0) return `${name}: ${guess.lacking.join(' ')}`;
  return `${name} is a table whose columns could not be told for sure; say which column holds what in a column mapping (the best guess is in the report).`;
}
