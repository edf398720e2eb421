/** From inspected files to what an import does: where each file goes, which machine and fields, what is left to confirm. */
import type { SingleEdit } from '../edits/season-edit.ts';
import { failure, type Result, success } from '../errors.ts';
import { findCrop } from '../grain/find-crop.ts';
import type { Ticket } from '../read/ticket.ts';
import type { Season } from '../season.ts';
import { isPrintable } from '../shown-text.ts';
import { planBoundaries } from './boundary-plan.ts';
import { chooseFields } from './field-choice.ts';
import type { ImportCandidate, ImportChoices, ImportPlan, SeasonFile } from './import-plan.ts';
import { logEdits, type PlannedLog, planMappings } from './log-edits.ts';
import type { LogOutline } from './log-outline.ts';
import { loggerChains } from './logger-chains.ts';
import { chooseMachines } from './machine-choice.ts';
import { machineOfListed, Planning } from './planning.ts';
import { sortCandidates } from './sort-candidates.ts';
import { reviewTimes } from './time-review.ts';
import { middleOf } from './track-samples.ts';

/** Plans the import of `candidates` into a season whose listed files are `listed`. Fails with `unknown_crop` when the user names one. */
export function planImport(
  season: Season,
  listed: readonly SeasonFile[],
  candidates: readonly ImportCandidate[],
  choices: ImportChoices = {},
): Result<ImportPlan> {
  if (choices.crop !== undefined) {
    const crop = findCrop(season, choices.crop);
    if (!crop.ok) return failure(crop.error);
  }
  const sorted = sortCandidates(candidates, listed, season.files ?? []);
  const seasonLogs = sorted.seasonLogs.filter(({ id }) => !sorted.replaced.has(id));
  const all = [...seasonLogs, ...sorted.logs];
  const tickets = [...listed, ...sorted.tickets].flatMap(({ inspection }) =>
    inspection.content.kind === 'tickets' ? inspection.content.tickets.map(withPlainNames) : [],
  );
  const chains = loggerChains(all);
  const machines = chooseMachines(chains, {
    machines: season.machines,
    ticketNames: [...new Set(tickets.flatMap(({ machine }) => (machine === undefined ? [] : [machine])))],
    ofLog: machineOfListed(season),
    ...(choices.machine === undefined ? {} : { chosen: choices.machine }),
  });
  const bounded = planBoundaries(season, listed, sorted.boundaries);
  const fields = chooseFields(all, bounded.fields, {
    tickets,
    ...(choices.field === undefined ? {} : { claimed: choices.field }),
    unboundedLogs: new Set(season.logs.flatMap(({ files }) => files)),
  });
  const plan = new Planning({ season, choices, candidates, sorted, logs: all, machines, bounded, fields });
  const mappings = planMappings(
    season,
    candidates.filter(({ id }) => !sorted.settled.has(id)),
  );
  const logs = sorted.logs.map((log): PlannedLog => {
    const machine = machines.of.get(log.id)?.machine ?? '';
    return { log, machine, mapping: mappings.of.get(log.id), field: plan.claimedField() };
  });
  const reviews = plan.machineIds().map((machine) => reviewTimes(machine, plan.logsOf(machine)));
  return success({
    files: candidates.map((candidate) => plan.fileOf(candidate, mappings.of)),
    boundaries: [...bounded.written, ...plan.drawn()],
    edits: (pathOf) => [
      ...unitEdits(season, all),
      ...mappings.added.map((mapping): SingleEdit => ({ kind: 'set_mapping', mapping })),
      ...plan.machineEdits(),
      ...plan.fieldEdits(pathOf),
      ...plan.removed(),
      ...logEdits(plan.withoutReplaced(), logs, chains, pathOf),
      ...ticketEdits(sorted.tickets, pathOf),
    ],
    questions: plan.questions(),
    gaps: reviews.flatMap(({ gaps }) => gaps),
    overlaps: reviews.flatMap(({ overlaps }) => overlaps),
    notices: [...bounded.notices, ...plan.replacedNotices()],
  });
}

/** Names that no season sheet takes are none. */
function withPlainNames({ field, machine, ...ticket }: Ticket): Ticket {
  const plain = (name: string | undefined) =>
    name !== undefined && name.length <= LONGEST_NAME && /\S/.test(name) && isPrintable(name)
      ? name
      : undefined;
  return { ...ticket, field: plain(field), machine: plain(machine) };
}

const LONGEST_NAME = 100;

/** Where the short ton and the bushel are at home: the contiguous United States, roughly. */
const US = { west: -125, east: -66, south: 24.5, north: 49.5 };

/** A sheet that does not say its units shows those of the place. */
function unitEdits({ units }: Season, logs: readonly LogOutline[]): SingleEdit[] {
  const [samples] = logs.map((log) => log.samples).filter(({ utc_s }) => utc_s.length > 0);
  if (units !== undefined || samples === undefined) return [];
  const { longitude_deg, latitude_deg } = middleOf(samples);
  const within =
    longitude_deg > US.west && longitude_deg < US.east && latitude_deg > US.south && latitude_deg < US.north;
  return [{ kind: 'set_units', units: within ? 'us' : 'metric' }];
}

function ticketEdits(
  tickets: readonly ImportCandidate[],
  pathOf: (name: string) => string | undefined,
): SingleEdit[] {
  const files = tickets.map(({ id }) => pathOf(id)).filter((path) => path !== undefined);
  return files.length > 0 ? [{ kind: 'add_tickets', files }] : [];
}
