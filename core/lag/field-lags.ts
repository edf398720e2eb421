/** The lag of every machine in every field: both estimates, what was entered, and the choice. */
import type { Notice } from '../errors.ts';
import type { FieldSheet, MachineSheet, SettingsSheet } from '../season.ts';
import type { MachineGrain } from '../signal/grain-of-machine.ts';
import type { MachineRecord } from '../signal/machine-record.ts';
import { smoothMoisture } from '../signal/moisture.ts';
import { type EachTask, oneByOne, type Spread } from '../spread.ts';
import type { FieldGround } from '../track/field-ground.ts';
import type { Plot } from '../track/ground-of-field.ts';
import type { CutRecord } from './cut-record.ts';
import { type EndsOfPassesSolution, estimateEndsOfPasses } from './ends-of-passes.ts';
import { chooseLag, enteredLag, type LagChoice } from './lag-choice.ts';
import { estimateMoistureLag, type MoistureLagSolution } from './moisture-lag.ts';
import {
  estimateNeighbourAgreement,
  type NeighbourAgreementSolution,
  SECOND_OPINION,
} from './neighbour-agreement.ts';
import { type PlotInTime, withoutRests } from './rests.ts';

/** What one plot says of its lag. */
export interface LagEvidence {
  readonly record: CutRecord;
  readonly ends: EndsOfPassesSolution | undefined;
  readonly neighbours: NeighbourAgreementSolution | undefined;
  readonly moisture: MoistureLagSolution | undefined;
}

/** Lag of one plot, with its evidence. */
export interface PlotLag extends LagEvidence {
  readonly lag: LagChoice;
}

export interface FieldLags {
  /** As `FieldGround.plots`. */
  readonly plots: readonly PlotLag[];
}

/** What of a season decides which lag is chosen. */
export interface LaggedSeason {
  readonly machines: readonly Pick<MachineSheet, 'id' | 'name'>[];
  readonly fields: readonly Pick<FieldSheet, 'name'>[];
  readonly settings?: Pick<SettingsSheet, 'lags'>;
}

/** What the estimators are given of one plot: smoothed readings, and no long rests. */
export interface PlotSeen extends PlotInTime {
  readonly log: 'beam' | 'flow';
}

/** Both estimators on the plots of a field. */
export const LAGS_OF_FIELD: EachTask<undefined, readonly PlotSeen[], Omit<LagEvidence, 'record'>[]> = {
  name: 'lags of a field',
  run: (_, plots) =>
    plots.map(({ record, pass, passage, moisture, log }) => {
      // a flow log is written only while cutting: what runs out after a pass is not in it
      const ends = log === 'flow' ? undefined : estimateEndsOfPasses(record, passage);
      const opinion = ends === undefined ? undefined : SECOND_OPINION;
      return {
        ends,
        neighbours: estimateNeighbourAgreement(record, pass, passage, opinion),
        moisture: estimateMoistureLag(record, pass, moisture),
      };
    }),
};

/** Evidence of every plot of all fields. `headers_m` are the header widths of the season's machines. */
export function lagEvidence(
  fields: readonly FieldGround[],
  headers_m: readonly number[],
  records: readonly MachineRecord[],
  grains: readonly MachineGrain[],
  spread: Spread = oneByOne,
): LagEvidence[][] {
  const moistures = records.map(({ moisture }) => smoothMoisture(moisture));
  const cut = fields.map(({ plots }) =>
    plots.map((plot) => cutRecordOf(plot, headers_m[records[plot.record].machine])),
  );
  const seen = fields.map(
    ({ plots }, f) =>
      () =>
        plots.map(({ record: r, rows }, p): PlotSeen => {
          const { passage } = grains[r];
          const inTime = { record: cut[f][p], pass: rows.pass, passage, moisture: moistures[r] };
          return { ...withoutRests(inTime), log: records[r].grain.kind === 'flow' ? 'flow' : 'beam' };
        }),
  );
  const found = spread(LAGS_OF_FIELD, undefined, seen);
  return cut.map((plots, f) => plots.map((record, p) => ({ record, ...found[f][p] })));
}

/** Lags of all fields, in their order, from the evidence of each. */
export function lagsOfFields(
  season: LaggedSeason,
  fields: readonly FieldGround[],
  records: readonly MachineRecord[],
  evidence: readonly (readonly LagEvidence[])[],
): { fields: FieldLags[]; notices: Notice[] } {
  const notices: Notice[] = [];
  const lags = fields.map(({ field, plots }, f) => ({
    plots: plots.map((plot, p): PlotLag => {
      const { machine, grain } = records[plot.record];
      const sheet = season.machines[machine];
      const { name } = season.fields[field];
      const { ends, neighbours, moisture } = evidence[f][p];
      const entered = enteredLag(season.settings?.lags, name, sheet.id);
      const log = grain.kind === 'flow' ? 'flow' : 'beam';
      const chosen = chooseLag({ ends, neighbours, moisture, entered, log }, `${name}, ${sheet.name}`);
      notices.push(...chosen.notices);
      return { ...evidence[f][p], lag: chosen.lag };
    }),
  }));
  return { fields: lags, notices };
}

/** The plot as the lag stage sees it. */
function cutRecordOf(plot: Plot, header_width_m: number): CutRecord {
  const { rows } = plot;
  const middle = (a: Float64Array, b: Float64Array) => a.map((x, i) => (x + b[i]) / 2);
  return {
    t0_s: rows.t0_s,
    t1_s: rows.t1_s,
    fresh_area_m2: plot.fresh_area_m2,
    east_m: middle(rows.east0_m, rows.east1_m),
    north_m: middle(rows.north0_m, rows.north1_m),
    heading_rad: rows.heading0_rad,
    width_share: plot.cut_width_m.map((width_m) => width_m / header_width_m),
    header_width_m,
  };
}
