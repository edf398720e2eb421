/** The lag of every machine in every field: both estimates, what was entered, and the choice. */
import type { Notice } from '../errors.ts';
import type { Season } from '../season.ts';
import type { MachineGrain } from '../signal/grain-of-machine.ts';
import type { MachineRecord } from '../signal/machine-record.ts';
import type { FieldGround, Plot } from '../track/field-ground.ts';
import type { CutRecord } from './cut-record.ts';
import { type EndsOfPassesSolution, estimateEndsOfPasses } from './ends-of-passes.ts';
import { chooseLag, enteredLag, type LagChoice } from './lag-choice.ts';
import { estimateNeighbourAgreement, type NeighbourAgreementSolution } from './neighbour-agreement.ts';

/** Lag of one plot, with its evidence. */
export interface PlotLag {
  readonly lag: LagChoice;
  readonly record: CutRecord;
  readonly ends: EndsOfPassesSolution | undefined;
  readonly neighbours: NeighbourAgreementSolution | undefined;
}

export interface FieldLags {
  /** As `FieldGround.plots`. */
  readonly plots: readonly PlotLag[];
}

/** Lags of all fields, in their order. */
export function lagsOfFields(
  season: Season,
  fields: readonly FieldGround[],
  records: readonly MachineRecord[],
  grains: readonly MachineGrain[],
): { fields: FieldLags[]; notices: Notice[] } {
  const notices: Notice[] = [];
  const lags = fields.map(({ field, plots }) => ({
    plots: plots.map((plot) => {
      const record = records[plot.record];
      const sheet = season.machines[record.machine];
      const name = season.fields[field].name;
      const evidence = evidenceOf(
        plot,
        grains[plot.record],
        sheet.header.width_m,
        record.grain.kind === 'flow',
      );
      const chosen = chooseLag(
        {
          ends: evidence.ends,
          neighbours: evidence.neighbours,
          entered: enteredLag(season.settings?.lags, name, sheet.id),
          log: record.grain.kind === 'flow' ? 'flow' : 'beam',
        },
        `${name}, ${sheet.name}`,
      );
      notices.push(...chosen.notices);
      return { ...evidence, lag: chosen.lag };
    }),
  }));
  return { fields: lags, notices };
}

function evidenceOf(plot: Plot, grain: MachineGrain, header_width_m: number, isFlowLog: boolean) {
  const record = cutRecordOf(plot, header_width_m);
  return {
    record,
    // a flow log is written only while cutting: what runs out after a pass is not in it
    ends: isFlowLog ? undefined : estimateEndsOfPasses(record, grain.passage),
    neighbours: estimateNeighbourAgreement(record, plot.rows.pass, grain.passage),
  };
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
