/** From inspected files to what an import does: where each file goes, which machine and fields, what is left to confirm. */
import type { SingleEdit } from '../edits/season-edit.ts';
import { failure, type Notice, type Result, success } from '../errors.ts';
import { findCrop } from '../grain/find-crop.ts';
import type { Ticket } from '../read/ticket.ts';
import type { FieldSheet, MachineSheet, Season } from '../season.ts';
import { isPrintable, shownText } from '../shown-text.ts';
import {
  type BoundaryPlan,
  boundaryEdits,
  boundaryStem,
  type PlannedField,
  planBoundaries,
  writtenId,
} from './boundary-plan.ts';
import { type CropChoice, chooseCrop } from './crop-choice.ts';
import { chooseFields, type FieldChoices } from './field-choice.ts';
import { DERIVED_KEY, outlineText } from './field-outlines.ts';
import { guessHeaderWidth, type HeaderWidthGuess } from './header-width.ts';
import type {
  FilePlan,
  ImportCandidate,
  ImportChoices,
  ImportPlan,
  OpenQuestion,
  PlannedFile,
  SeasonFile,
  WrittenBoundary,
} from './import-plan.ts';
import { logEdits, type PlannedLog, planMappings } from './log-edits.ts';
import type { LogOutline } from './log-outline.ts';
import { loggerChains } from './logger-chains.ts';
import { chooseMachines, type MachineChoices } from './machine-choice.ts';
import {
  antennaQuestion,
  cropQuestion,
  fieldNameQuestion,
  headerQuestion,
  machineQuestion,
  paddleQuestion,
  tableQuestions,
} from './open-questions.ts';
import { type SortedCandidates, sortCandidates } from './sort-candidates.ts';
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
  const plan = new Planning(season, choices, candidates, sorted, all, machines, bounded, fields);
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

function machineOfListed(season: Season): ReadonlyMap<string, string> {
  return new Map(season.logs.flatMap(({ machine, files }) => files.map((file) => [file, machine] as const)));
}

function ticketEdits(
  tickets: readonly ImportCandidate[],
  pathOf: (name: string) => string | undefined,
): SingleEdit[] {
  const files = tickets.map(({ id }) => pathOf(id)).filter((path) => path !== undefined);
  return files.length > 0 ? [{ kind: 'add_tickets', files }] : [];
}

/** All that the parts of a plan need of each other. */
class Planning {
  readonly #season: Season;
  readonly #choices: ImportChoices;
  readonly #candidates: readonly ImportCandidate[];
  readonly #sorted: SortedCandidates;
  readonly #logs: readonly LogOutline[];
  readonly #machines: MachineChoices;
  readonly #bounded: BoundaryPlan;
  readonly #fields: FieldChoices;
  readonly #widths: ReadonlyMap<string, HeaderWidthGuess>;
  readonly #crops = new Map<string, CropChoice>();

  constructor(
    season: Season,
    choices: ImportChoices,
    candidates: readonly ImportCandidate[],
    sorted: SortedCandidates,
    logs: readonly LogOutline[],
    machines: MachineChoices,
    bounded: BoundaryPlan,
    fields: FieldChoices,
  ) {
    this.#season = season;
    this.#choices = choices;
    this.#candidates = candidates;
    this.#sorted = sorted;
    this.#logs = logs;
    this.#machines = machines;
    this.#bounded = bounded;
    this.#fields = fields;
    this.#widths = new Map(
      machines.added.map(({ id }) => [id, guessHeaderWidth(this.logsOf(id), this.#logsOfOthers(id))]),
    );
    for (const field of bounded.fields.filter(({ isNew }) => isNew)) {
      this.#crops.set(field.name, this.#cropOf(field.name, field.crop));
    }
    for (const field of fields.found) this.#crops.set(field.name, this.#cropOf(field.name, undefined));
  }

  machineIds(): string[] {
    return [...this.#season.machines, ...this.#machines.added].map(({ id }) => id);
  }

  logsOf(machine: string): LogOutline[] {
    const listed = machineOfListed(this.#season);
    return this.#logs.filter(({ id }) => (this.#machines.of.get(id)?.machine ?? listed.get(id)) === machine);
  }

  #logsOfOthers(machine: string): LogOutline[] {
    const own = this.logsOf(machine);
    return this.#logs.filter((log) => !own.includes(log));
  }

  /** The field that the user named, where it is one that stands without boundary. */
  claimedField(): string | undefined {
    const { field } = this.#choices;
    return this.#bounded.fields.find(({ name, boundary }) => name === field && boundary === undefined)?.name;
  }

  fileOf(candidate: ImportCandidate, mappingOf: ReadonlyMap<string, string>): PlannedFile {
    const { id, inspection } = candidate;
    const settled = this.#sorted.settled.get(id);
    if (settled !== undefined) return { candidate, plan: settled, reason: '', fields: [] };
    if (inspection.content.kind === 'boundary') {
      const fields = this.#bounded.fieldsOf.get(id) ?? [];
      return { candidate, plan: { outcome: 'take', into: 'boundaries' }, reason: '', fields };
    }
    if (inspection.content.kind === 'tickets') {
      return { candidate, plan: { outcome: 'take', into: 'tickets' }, reason: '', fields: [] };
    }
    const choice = this.#machines.of.get(id);
    const mapping = mappingOf.get(id);
    const plan: FilePlan = {
      outcome: 'take',
      into: 'logs',
      ...(choice === undefined ? {} : { machine: choice.machine }),
      ...(mapping === undefined ? {} : { mapping }),
    };
    return { candidate, plan, reason: choice?.reason ?? '', fields: this.#fields.ofLog.get(id) ?? [] };
  }

  machineEdits(): SingleEdit[] {
    return this.#addedMachines().map((machine) => ({ kind: 'add_machine', machine }));
  }

  fieldEdits(pathOf: (name: string) => string | undefined): SingleEdit[] {
    const bounded = boundaryEdits(this.#season, this.#bounded.fields, pathOf, (field, boundary) =>
      this.#sheetOf(field, boundary),
    );
    const found = this.#fields.found.flatMap((field): SingleEdit[] => {
      const boundary = pathOf(writtenId(field.name));
      if (boundary === undefined) return [];
      const { crop, known } = this.#cropFor(field.name);
      const open = [...(field.isNamed ? [] : ['name']), ...(known ? [] : ['crop']), 'boundary'];
      return [{ kind: 'add_field', field: { name: field.name, crop, boundary, unconfirmed: open } }];
    });
    return [...bounded, ...found];
  }

  /** Outlines around tracks, as files. */
  drawn(): WrittenBoundary[] {
    return this.#fields.found.map((field) => ({
      id: writtenId(field.name),
      name: `${boundaryStem(field.name)}.geojson`,
      field: field.name,
      text: outlineText(field.name, field.boundary, { [DERIVED_KEY]: true }),
    }));
  }

  removed(): SingleEdit[] {
    const files = [...this.#sorted.replaced.keys()];
    return files.length > 0 ? [{ kind: 'remove_logs', files }] : [];
  }

  /** The season once logs that stand in fuller ones are off its list. */
  withoutReplaced(): Season {
    const gone = this.#sorted.replaced;
    const logs = this.#season.logs.flatMap((log) => {
      const files = log.files.filter((file) => !gone.has(file));
      return files.length > 0 ? [{ ...log, files }] : [];
    });
    return { ...this.#season, logs };
  }

  replacedNotices(): Notice[] {
    return [...this.#sorted.replaced].map(([path, id]) => ({
      code: 'log_replaced',
      severity: 'info',
      source: path,
      count: 1,
      text: `${path} was an earlier copy: all that it holds stands in ${shownText(id)}, which takes its place in the list; the file stays in the folder.`,
    }));
  }

  questions(): OpenQuestion[] {
    const added = this.#addedMachines();
    const needPaddles = [...this.#season.machines, ...added].filter(
      ({ id, paddle }) =>
        paddle === undefined && this.logsOf(id).some(({ kind, hasGrain }) => hasGrain && kind !== 'flow'),
    );
    const waiting = this.#candidates.flatMap((candidate) => {
      const plan = this.#sorted.settled.get(candidate.id);
      if (plan !== undefined && plan.outcome !== 'needs_mapping') return [];
      return tableQuestions(candidate, plan?.text);
    });
    const unsure = new Map<string, LogOutline[]>();
    for (const log of this.#sorted.logs) {
      const choice = this.#machines.of.get(log.id);
      if (choice === undefined || choice.known) continue;
      unsure.set(choice.machine, [...(unsure.get(choice.machine) ?? []), log]);
    }
    return [
      ...needPaddles.map(paddleQuestion),
      ...waiting,
      ...[...unsure].map(([machine, logs]) => machineQuestion(logs, machine)),
      ...added.map((machine) => headerQuestion(machine, this.#widths.get(machine.id) as HeaderWidthGuess)),
      ...added.map(antennaQuestion),
      ...this.#fields.found
        .filter((field) => !field.isNamed)
        .map(({ name, reason }) => fieldNameQuestion(name, reason)),
      ...[...this.#crops]
        .filter(([, { known }]) => !known)
        .map(([field, choice]) => cropQuestion(field, choice)),
    ].sort((a, b) => Number(a.weight === 'confirm') - Number(b.weight === 'confirm'));
  }

  #addedMachines(): MachineSheet[] {
    return this.#machines.added.map(({ id, name }) => ({
      id,
      name,
      header: { width_m: (this.#widths.get(id) as HeaderWidthGuess).width_m },
      unconfirmed: ['header.width_m', 'antenna'],
    }));
  }

  #sheetOf(field: PlannedField, boundary: string): FieldSheet {
    const { crop, known } = this.#cropFor(field.name);
    return { name: field.name, crop, boundary, ...(known ? {} : { unconfirmed: ['crop'] }) };
  }

  #cropFor(field: string): CropChoice {
    return this.#crops.get(field) as CropChoice;
  }

  #cropOf(field: string, inBoundary: string | undefined): CropChoice {
    const logs = [...this.#fields.ofLog].filter(([, fields]) => fields.includes(field)).map(([id]) => id);
    const tables = this.#candidates
      .filter(({ id }) => logs.includes(id))
      .flatMap(({ inspection }) =>
        inspection.content.kind === 'table' ? (inspection.content.guess?.crops ?? []) : [],
      );
    return chooseCrop(this.#season, {
      said: this.#choices.crop,
      inFiles: [...(inBoundary === undefined ? [] : [inBoundary]), ...tables],
      paths: [
        ...logs,
        ...[...this.#bounded.fieldsOf].flatMap(([id, fields]) => (fields.includes(field) ? [id] : [])),
      ],
    });
  }
}
