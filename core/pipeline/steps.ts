/**
 * The steps of the chain as a memo knows them: each a pure function of exactly what it is given, so that a change of the
 * season reruns the steps that are given something else by it, and no other.
 */
import {
  calibrateSeason,
  type SeasonCalibration,
  type SeasonCalibrationInput,
} from '../calibrate/season-fit.ts';
import type { Notice } from '../errors.ts';
import type { Crop } from '../grain/crops.ts';
import { measureHealth } from '../install/season-health.ts';
import {
  type FieldLags,
  type LagEvidence,
  type LaggedSeason,
  lagEvidence,
  lagsOfFields,
} from '../lag/field-lags.ts';
import type { BoundaryPolygons } from '../read/boundaries.ts';
import { withoutOtherSeasons } from '../read/other-seasons.ts';
import {
  gatherBoundaries,
  gatherLogs,
  gatherTickets,
  type LogEntry,
  type MachineLogs,
  type TextFile,
} from '../read/season-inputs.ts';
import type { Ticket } from '../read/ticket.ts';
import type { ExclusionFrame } from '../screen/exclusions.ts';
import type { RuleNumbers } from '../screen/rules.ts';
import type { Exclusion, FieldSheet, MachineSheet, ScreeningRule, SettingsSheet } from '../season.ts';
import { type BeamSheets, grainOfMachine, type MachineGrain } from '../signal/grain-of-machine.ts';
import type { MachineRecord } from '../signal/machine-record.ts';
import { smoothMoisture } from '../signal/moisture.ts';
import { type ClockedSeason, machinesOfSeason } from '../signal/season-machines.ts';
import { signalSummaries } from '../signal/signal-summary.ts';
import { type FieldGround, type GroundSolution, groundOfFields } from '../track/field-ground.ts';
import type { GroundSeason } from '../track/ground-of-field.ts';
import { type PlacedSeason, placeNotices } from '../track/place-check.ts';
import { outlinesOfFields } from '../track/plane-rings.ts';
import { creditFields, type FieldCredit } from '../yield/credit-fields.ts';
import { fallbackMoisture } from '../yield/fallback-moisture.ts';
import {
  pointsOfField,
  type ScreenedField,
  screenField,
  type UnscreenedField,
} from '../yield/field-points.ts';
import type { ChainStep } from './chain.ts';

function step<Given, Made>(name: string, run: ChainStep<Given, Made>['run']): ChainStep<Given, Made> {
  return { name, run };
}

export const LOGS = step(
  'logs',
  (given: {
    readonly entries: readonly LogEntry[];
    readonly machines: readonly string[];
    readonly fields: readonly string[];
  }) => gatherLogs(given.entries, given.machines, given.fields),
);

export const TICKETS = step('tickets', (texts: readonly TextFile[]) => gatherTickets(texts));

export const BOUNDARIES = step('boundaries', (texts: readonly (TextFile | undefined)[]) =>
  gatherBoundaries(texts),
);

export const THIS_SEASON = step(
  'this season',
  (given: { readonly logs: readonly MachineLogs[]; readonly tickets: readonly Ticket[] }) =>
    withoutOtherSeasons(given.logs, given.tickets),
);

export const RECORDS = step(
  'records',
  (given: { readonly season: ClockedSeason; readonly logs: readonly MachineLogs[] }) =>
    machinesOfSeason(given.season, given.logs),
);

export const GRAIN = step(
  'grain',
  (given: {
    readonly record: MachineRecord;
    readonly sheet: BeamSheets;
    readonly signal: SettingsSheet['signal'];
  }) => grainOfMachine(given.record, given.sheet, given.signal),
);

export const GROUND = step(
  'ground',
  (
    given: {
      readonly season: GroundSeason;
      readonly records: readonly MachineRecord[];
      readonly grains: readonly (MachineGrain | undefined)[];
      readonly boundaries: readonly (BoundaryPolygons | undefined)[];
    },
    spread,
  ) => groundOfFields(given.season, given.records, given.grains, given.boundaries, spread),
);

export const PLACES = step(
  'places',
  (given: {
    readonly season: PlacedSeason;
    readonly records: readonly MachineRecord[];
    readonly boundaries: readonly (BoundaryPolygons | undefined)[];
    readonly ground: GroundSolution;
  }) => placeNotices(given.season, given.records, given.boundaries, given.ground),
);

export const OUTLINES = step(
  'outlines',
  (given: {
    readonly fields: readonly FieldGround[];
    readonly boundaries: readonly (BoundaryPolygons | undefined)[];
  }) => outlinesOfFields(given.fields, given.boundaries),
);

export const LAG_EVIDENCE = step(
  'lag evidence',
  (
    given: {
      readonly fields: readonly FieldGround[];
      readonly headers_m: readonly number[];
      readonly records: readonly MachineRecord[];
      readonly grains: readonly MachineGrain[];
    },
    spread,
  ) => lagEvidence(given.fields, given.headers_m, given.records, given.grains, spread),
);

export const LAGS = step(
  'lags',
  (given: {
    readonly season: LaggedSeason;
    readonly fields: readonly FieldGround[];
    readonly records: readonly MachineRecord[];
    readonly evidence: readonly (readonly LagEvidence[])[];
  }) => lagsOfFields(given.season, given.fields, given.records, given.evidence),
);

export const CREDIT = step(
  'credit',
  (given: {
    readonly fields: readonly FieldGround[];
    readonly lags: readonly FieldLags[];
    readonly grains: readonly MachineGrain[];
    readonly unsmear_iterations: number;
  }) => creditFields(given.fields, given.lags, given.grains, given),
);

export const LOADS = step('loads', (given: SeasonCalibrationInput) => calibrateSeason(given));

export const MOISTURE = step('moisture', (record: MachineRecord) => smoothMoisture(record.moisture));

export const POINTS = step(
  'points',
  (given: {
    readonly sheet: FieldSheet;
    readonly crop: Crop;
    readonly machines: readonly Pick<MachineSheet, 'id'>[];
    readonly records: readonly MachineRecord[];
    readonly grains: readonly MachineGrain[];
    readonly moistures: readonly MachineRecord['moisture'][];
    readonly ground: FieldGround;
    readonly lags: FieldLags;
    readonly credit: FieldCredit;
    readonly calibration: SeasonCalibration;
  }): { readonly field: UnscreenedField; readonly notices: readonly Notice[] } => {
    const { sheet, crop, moistures, ground, lags, calibration } = given;
    const standard_moisture_pct = sheet.standard_moisture_pct ?? crop.standard_moisture_pct;
    const moisture = fallbackMoisture(sheet, standard_moisture_pct, moistures, ground, lags, calibration);
    const field = pointsOfField({
      ...given,
      crop: crop.name,
      standard_moisture_pct,
      fallback_moisture_pct: moisture.moisture_pct,
      massFitOf: (machine) => calibration.massFitOf(machine, crop, sheet.name),
      loads: calibration.spans,
      test_weights: { shares: calibration.test_weight_shares, usual_kg_m3: crop.bulk_density_kg_m3 },
    });
    return { field, notices: moisture.notices };
  },
);

export const SCREENING = step(
  'screening',
  (given: {
    readonly field: UnscreenedField;
    readonly rules: Readonly<Partial<Record<ScreeningRule, RuleNumbers>>>;
    readonly exclusions: readonly Exclusion[];
    readonly frame: ExclusionFrame;
  }): ScreenedField => screenField(given.field, given.rules, given.exclusions, given.frame),
);

export const SIGNALS = step(
  'signals',
  (given: {
    readonly season: { readonly machines: readonly Pick<MachineSheet, 'id' | 'paddle'>[] };
    readonly records: readonly MachineRecord[];
    readonly grains: readonly MachineGrain[];
    readonly epoch_utc_s: number;
  }) => signalSummaries(given.season, given.records, given.grains, given.epoch_utc_s),
);

export const HEALTH = step(
  'health',
  (given: {
    readonly season: { readonly machines: readonly Pick<MachineSheet, 'id' | 'paddle'>[] };
    readonly records: readonly MachineRecord[];
    readonly grains: readonly MachineGrain[];
    readonly epoch_utc_s: number;
  }) => measureHealth(given.season.machines, given.epoch_utc_s, given.records, given.grains),
);
