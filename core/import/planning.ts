/** What an import does to machines and fields of the sheet, and what it asks: the parts of a plan that need each other. */
import type { SingleEdit } from '../edits/season-edit.ts';
import type { Notice } from '../errors.ts';
import type { FieldSheet, MachineSheet, Season } from '../season.ts';
import { shownText } from '../shown-text.ts';
import {
  type BoundaryPlan,
  boundaryEdits,
  boundaryStem,
  type PlannedField,
  writtenId,
} from './boundary-plan.ts';
import { type CropChoice, chooseCrop } from './crop-choice.ts';
import type { FieldChoices } from './field-choice.ts';
import { DERIVED_KEY, outlineText } from './field-outlines.ts';
import { guessHeaderWidth, type HeaderWidthGuess } from './header-width.ts';
import type {
  FilePlan,
  ImportCandidate,
  ImportChoices,
  OpenQuestion,
  PlannedFile,
  WrittenBoundary,
} from './import-plan.ts';
import type { LogOutline } from './log-outline.ts';
import type { MachineChoices } from './machine-choice.ts';
import {
  antennaQuestion,
  cropQuestion,
  fieldNameQuestion,
  headerQuestion,
  machineQuestion,
  paddleQuestion,
  tableQuestions,
} from './open-questions.ts';
import type { SortedCandidates } from './sort-candidates.ts';

/** What was found out, from which the plan is made. */
export interface PlanningBasis {
  readonly season: Season;
  readonly choices: ImportChoices;
  readonly candidates: readonly ImportCandidate[];
  readonly sorted: SortedCandidates;
  /** Logs of the season that stay, and new ones. */
  readonly logs: readonly LogOutline[];
  readonly machines: MachineChoices;
  readonly bounded: BoundaryPlan;
  readonly fields: FieldChoices;
}

/** Machine of each log that the sheet lists, by path. */
export function machineOfListed(season: Season): ReadonlyMap<string, string> {
  return new Map(season.logs.flatMap(({ machine, files }) => files.map((file) => [file, machine] as const)));
}

/** All that the parts of a plan need of each other. */
export class Planning {
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

  constructor(basis: PlanningBasis) {
    const { season, choices, candidates, sorted, logs, machines, bounded, fields } = basis;
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
