/** All calibrations of a season: tickets become loads, loads of one machine and crop (and variety or period when asked) are fitted together. */

import type { LoadProposal } from '../calibration-result.ts';
import type { CalibrationSheet, PriorSheet } from '../calibration-sheet.ts';
import type { Notice } from '../errors.ts';
import type { Crop } from '../grain/crops.ts';
import type { Ticket } from '../read/ticket.ts';
import type { CalibrationSummary, LoadSpan } from '../result.ts';
import type { FieldSheet, MachineSheet, Season, SettingsSheet } from '../season.ts';
import type { MachineGrain } from '../signal/grain-of-machine.ts';
import type { MachineRecord } from '../signal/machine-record.ts';
import { weightedMean } from '../stats/moments.ts';
import type { GroundSolution } from '../track/field-ground.ts';
import type { FieldCredit, PlotCredit } from '../yield/credit-fields.ts';
import { calibrationSummary } from './calibration-summary.ts';
import { withCorrectedSpans } from './corrected-spans.ts';
import { ALL_MACHINES, type Load } from './load.ts';
import { choiceNotices } from './load-choice.ts';
import { estimateLoadFit, type LoadFitSolution } from './load-fit.ts';
import {
  fewInGroup,
  LEAST_GROUP_LOADS,
  type LoadGrouping,
  loadGrouping,
  loadsByGroup,
} from './load-groups.ts';
import { proposeSpans } from './load-spans.ts';
import { bulkDensityOfLoads, groupLoads, matchLoads } from './loads.ts';
import { proposeShifts } from './shift-proposals.ts';
import type { CutField } from './ticket-claims.ts';

/** What of a season decides its calibrations. */
export interface CalibratedSeason {
  readonly machines: readonly Pick<MachineSheet, 'id' | 'name'>[];
  readonly fields: readonly Pick<FieldSheet, 'name' | 'variety'>[];
  readonly settings?: Pick<SettingsSheet, 'calibration'>;
  readonly units?: Season['units'];
}

export interface SeasonCalibrationInput {
  readonly season: CalibratedSeason;
  /** By field. */
  readonly crops: readonly Crop[];
  readonly tickets: readonly Ticket[];
  readonly epoch_utc_s: number;
  readonly records: readonly MachineRecord[];
  readonly grains: readonly MachineGrain[];
  readonly ground: GroundSolution;
  readonly credit: readonly FieldCredit[];
}

/** How a machine's volume of one crop becomes mass. */
export interface MassFit {
  readonly fit: LoadFitSolution;
  /** Bulk density with which the fit's loads were reckoned, kg/m³. */
  readonly bulk_density_kg_m3: number;
}

export interface SeasonCalibration {
  /**
   * Fit of a machine in a crop: its own, else the one of all machines together, else the uncalibrated one. Where the sheet
   * asks for groups, each of these of the field's variety or period first.
   */
  readonly massFitOf: (machine: string, crop: Crop, field?: string) => MassFit;
  /** Mean moisture of a field's tickets by mass, % wet basis; NaN when none says. */
  readonly ticketMoistureOf: (field: number) => number;
  readonly spans: readonly (LoadSpan & { readonly machine: string })[];
  /** By span: test weight over the crop's usual one, less 1; NaN where it is not known. */
  readonly test_weight_shares: Float64Array;
  readonly summaries: readonly CalibrationSummary[];
  /** As `summaries`. */
  readonly solutions: readonly LoadFitSolution[];
  /** Times that the log proposes for tickets that have none, or wrong ones. */
  readonly proposals: readonly LoadProposal[];
  readonly notices: readonly Notice[];
}

/** Rows further apart than this in time belong to different spells in a field, s. */
const SPELL_GAP_S = 120;

/** Fits every group of loads; machines whose crop has no load get an uncalibrated summary and a notice. */
export function calibrateSeason(input: SeasonCalibrationInput): SeasonCalibration {
  const { season } = input;
  const records = input.records.map((record, r) => ({
    machine: season.machines[record.machine].id,
    machine_name: season.machines[record.machine].name,
    passage: input.grains[r].passage,
    running: input.grains[r].running,
  }));
  const fields = cutFields(input);
  const tickets = withCorrectedSpans(input.tickets, season.settings?.calibration?.spans);
  const matched = matchLoads({
    tickets,
    epoch_utc_s: input.epoch_utc_s,
    records,
    fields,
    ...(season.units === undefined ? {} : { units: season.units }),
  });
  const choices = season.settings?.calibration ?? {};
  const proposed = proposeSpans(tickets, records, fields, input.epoch_utc_s);
  const notices = [...matched.notices, ...proposed.notices, ...choiceNotices(matched.loads, choices)];
  const fits = new Map<string, MassFit>();
  const summaries: CalibrationSummary[] = [];
  const solutions: LoadFitSolution[] = [];
  const grouping = loadGrouping(choices.groups, season.fields, fields, input.epoch_utc_s);
  const fitted = (machine: string, crop: string, loads: readonly Load[], group?: string) => {
    const source = [machine, crop, ...(group === undefined ? [] : [group])].join(', ');
    const { solution, notices: said } = estimateLoadFit(
      showsHeaps(input, machine) ? loads : loads.map((load) => ({ ...load, x2_kg: Number.NaN })),
      choices,
      { source, ...priorFor(choices, machine, crop) },
    );
    notices.push(...said);
    const used = solution.rows.filter((row) => row.used).map((row) => row.load);
    const usual = input.crops.find(({ name }) => name === crop)?.bulk_density_kg_m3 ?? Number.NaN;
    const bulk_density_kg_m3 = bulkDensityOfLoads(used, usual);
    fits.set(keyOf(machine, crop, group), { fit: solution, bulk_density_kg_m3 });
    summaries.push(calibrationSummary(solution, machine, crop, group));
    solutions.push(solution);
  };
  const harvests = machinesInCrops(input, grouping);
  for (const { machine, crop, loads } of groupLoads(matched.loads.map((load, span) => ({ ...load, span })))) {
    if (grouping !== undefined) {
      const groups = loadsByGroup(loads, grouping);
      const own = [...groups].filter(([, some]) => some.length >= LEAST_GROUP_LOADS);
      for (const [group, some] of own) fitted(machine, crop, some, group);
      const cut = harvests.filter((one) => one.crop.name === crop && isBy(machine, one.machine));
      const wanted = new Set([...groups.keys(), ...cut.map(({ group }) => group)]);
      const without = [...wanted].filter((group) => !own.some(([name]) => name === group));
      for (const group of without)
        if (group !== undefined)
          notices.push(fewInGroup(`${machine}, ${crop}`, group, groups.get(group)?.length ?? 0));
      const owned = own.reduce((sum, [, some]) => sum + some.length, 0);
      if (without.length === 0 && owned === loads.length) continue;
    }
    fitted(machine, crop, loads);
  }
  const without = onceEach((machine, crop) => estimateLoadFit([], choices, priorFor(choices, machine, crop)));
  const massFitOf = (machine: string, crop: Crop, field?: string): MassFit => {
    const group = field === undefined ? undefined : grouping?.ofField(machine, field);
    return (
      fits.get(keyOf(machine, crop.name, group)) ??
      fits.get(keyOf(machine, crop.name)) ??
      fits.get(keyOf(ALL_MACHINES, crop.name, group)) ??
      fits.get(keyOf(ALL_MACHINES, crop.name)) ?? {
        fit: without(machine, crop.name),
        bulk_density_kg_m3: crop.bulk_density_kg_m3,
      }
    );
  };
  const told = new Set<LoadFitSolution>();
  for (const { machine, crop, field, isFlowLog } of harvests) {
    const { fit } = massFitOf(machine, crop, field);
    // what has loads has been spoken of with its fit
    if (fit.rows.length > 0 || told.has(fit)) continue;
    told.add(fit);
    summaries.push(calibrationSummary(fit, machine, crop.name));
    solutions.push(fit);
    if (fit.model === 'uncalibrated') notices.push(uncalibrated(machine, crop.name, isFlowLog));
    else notices.push(carriedOver(machine, crop.name, fit));
  }
  return {
    massFitOf,
    ticketMoistureOf: (field) => ticketMoisture(matched.loads, season.fields[field].name),
    test_weight_shares: Float64Array.from(matched.loads, (load) => load.test_weight_share ?? Number.NaN),
    spans: matched.loads.map(({ ticket, start_s, end_s, machine }) => ({ ticket, start_s, end_s, machine })),
    summaries,
    solutions,
    proposals: [...proposed.proposals, ...proposeShifts(tickets, records, fields, input.epoch_utc_s)],
    notices,
  };
}

/** Whether all grain to which a machine's fit may be applied has its fill: a log that carries a flow has not. */
function showsHeaps({ season, records, grains }: SeasonCalibrationInput, machine: string): boolean {
  return grains.every(({ passage }, r) => {
    const concerned = machine === ALL_MACHINES || season.machines[records[r].machine].id === machine;
    return !concerned || passage.fill_weighted !== undefined;
  });
}

/** What is known beforehand of a machine's gain in a crop: the last entry that is meant for it. */
function priorFor(
  { prior = [] }: CalibrationSheet,
  machine: string,
  crop: string,
): { readonly prior?: PriorSheet } {
  const isMeant = (entry: PriorSheet) =>
    (entry.machine ?? machine) === machine && (entry.crop ?? crop) === crop;
  const found = machine === ALL_MACHINES ? undefined : prior.findLast(isMeant);
  return found === undefined ? {} : { prior: found };
}

/** The solution without any load, made once for each machine and crop, so that all its grain shares one fit. */
function onceEach(
  make: (machine: string, crop: string) => { readonly solution: LoadFitSolution },
): (machine: string, crop: string) => LoadFitSolution {
  const made = new Map<string, LoadFitSolution>();
  return (machine, crop) => {
    const key = keyOf(machine, crop);
    const solution = made.get(key) ?? make(machine, crop).solution;
    made.set(key, solution);
    return solution;
  };
}

function keyOf(machine: string, crop: string, group?: string): string {
  return JSON.stringify(group === undefined ? [machine, crop] : [machine, crop, group]);
}

function isBy(machine: string, one: string): boolean {
  return machine === ALL_MACHINES || machine === one;
}

/** Fields with the spells in which their grain passed each machine's beam. */
function cutFields({ season, crops, records, ground, credit }: SeasonCalibrationInput): CutField[] {
  return ground.fields.map(({ field, plots }, f) => ({
    name: season.fields[field].name,
    crop: crops[field],
    spells: plots.map((plot, p) => ({
      machine: season.machines[records[plot.record].machine].id,
      bounds_s: spellsOf(credit[f].plots[p]),
    })),
  }));
}

/** Starts and ends of stretches of rows without a long pause. */
function spellsOf({ beam0_s, beam1_s }: PlotCredit): Float64Array {
  const bounds_s: number[] = [];
  for (let row = 0; row < beam0_s.length; row++) {
    const joins = bounds_s.length > 0 && beam0_s[row] - bounds_s[bounds_s.length - 1] < SPELL_GAP_S;
    if (joins) bounds_s[bounds_s.length - 1] = beam1_s[row];
    else bounds_s.push(beam0_s[row], beam1_s[row]);
  }
  return Float64Array.from(bounds_s);
}

/** Machines in crops, and in groups where there are any, with one of the fields each. */
function machinesInCrops(
  { season, crops, records, ground }: SeasonCalibrationInput,
  grouping: LoadGrouping | undefined,
) {
  const seen = new Map<
    string,
    { machine: string; crop: Crop; field: string; group: string | undefined; isFlowLog: boolean }
  >();
  for (const { field, plots } of ground.fields) {
    for (const plot of plots) {
      const record = records[plot.record];
      const machine = season.machines[record.machine].id;
      const { name } = season.fields[field];
      const group = grouping?.ofField(machine, name);
      const crop = crops[field];
      const isFlowLog = record.grain.kind === 'flow';
      seen.set(keyOf(machine, crop.name, group), { machine, crop, field: name, group, isFlowLog });
    }
  }
  return [...seen.values()];
}

function ticketMoisture(loads: readonly Load[], field: string): number {
  const known = loads.flatMap((load) =>
    load.tickets.filter((ticket) => ticket.field === field && !Number.isNaN(ticket.moisture_pct)),
  );
  if (known.length === 0) return Number.NaN;
  return weightedMean(
    known.map((ticket) => ticket.moisture_pct),
    known.map((ticket) => ticket.net_kg),
  );
}

function carriedOver(machine: string, crop: string, { k, prior }: LoadFitSolution): Notice {
  const text = `${machine}, ${crop}: no load of this season; the gain of ${k.toPrecision(4)} is carried over from ${prior?.from} (± ${prior?.se_pct} %). Weigh a load to confirm it.`;
  return { code: 'carried_over', severity: 'look', source: `${machine}, ${crop}`, count: 1, text };
}

function uncalibrated(machine: string, crop: string, isFlowLog: boolean): Notice {
  const text = isFlowLog
    ? `${machine}, ${crop}: no ticket belongs to this grain, so the flow was taken as its log gives it. Pattern and totals are as good as that log's own calibration.`
    : `${machine}, ${crop}: no ticket belongs to this grain, so it is not calibrated (shape factor 1, usual bulk density). The pattern can be trusted, the totals cannot; enter scale tickets.`;
  return { code: 'uncalibrated', severity: 'look', source: `${machine}, ${crop}`, count: 1, text };
}
