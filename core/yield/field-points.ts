/**
 * Rows of ground with their grain → the points of one field: wet mass by the load fit, moisture, yield at standard moisture
 * with its standard error, and the rule that caught the point, if any.
 */
import {
  applyLoadFit,
  gradeWeighted,
  loadFitStandardError,
  marginalGain,
} from '../calibrate/load-coefficients.ts';
import type { MassFit } from '../calibrate/season-fit.ts';
import { columnOf, lengthOf, pickRows, sumOf, upperBound } from '../columns.ts';
import type { FieldLags } from '../lag/field-lags.ts';
import { responseMismatch } from '../lag/response-mismatch.ts';
import type { FieldPoints, LoadSpan } from '../result.ts';
import { type ExclusionFrame, excludedByHand } from '../screen/exclusions.ts';
import type { RuleNumbers } from '../screen/rules.ts';
import { type ScreenInput, screenPoints } from '../screen/screen.ts';
import type { Exclusion, FieldSheet, MachineSheet, ScreeningRule } from '../season.ts';
import type { MachineGrain } from '../signal/grain-of-machine.ts';
import type { MachineRecord, MoistureRecord } from '../signal/machine-record.ts';
import { moisturesAt } from '../signal/moisture.ts';
import type { FieldGround } from '../track/field-ground.ts';
import type { Plot } from '../track/ground-of-field.ts';
import { gathered, inTimeOrder, type TimeOrder, timeOrder } from '../track/time-order.ts';
import type { FieldCredit } from './credit-fields.ts';
import { loadsAt } from './load-of-grain.ts';
import { mixingError } from './mixing-error.ts';
import { yieldStandardErrors, yieldsAtStandardMoisture } from './yields.ts';

/** Everything that is known of one field before its points are made. */
export interface FieldPointsInput {
  readonly sheet: FieldSheet;
  readonly crop: string;
  readonly standard_moisture_pct: number;
  /** Used where the sensor says nothing, % wet basis. */
  readonly fallback_moisture_pct: number;
  readonly machines: readonly Pick<MachineSheet, 'id'>[];
  readonly records: readonly MachineRecord[];
  readonly grains: readonly MachineGrain[];
  /** Smoothed, by record. */
  readonly moistures: readonly MoistureRecord[];
  readonly ground: FieldGround;
  readonly lags: FieldLags;
  readonly credit: FieldCredit;
  /** How each machine's volume becomes mass in this field's crop. */
  readonly massFitOf: (machine: string) => MassFit;
  readonly loads: readonly (LoadSpan & { readonly machine: string })[];
  /** Of those loads over the crop's usual one, less 1 (NaN unknown): for fits with a test-weight term. */
  readonly test_weights?: { readonly shares: Float64Array; readonly usual_kg_m3: number };
}

/** A ramp is sought so many mixings from the start and end of a pass. */
const RAMP_MIXINGS = 6;
/** Where the mixing of a log is not known, ends are taken to blur like those of a middling machine, s. */
const UNKNOWN_MIXING_S = 3;
/**
 * Error of a width over that of a position. It is the difference between this pass and the one beside it, driven some minutes
 * earlier: most of a receiver's slow error was the same then (ours, from simulation).
 */
const WIDTH_ERROR_SHARE = 0.6;

/** One field's points, and what belongs to it beside them. */
export interface ScreenedField {
  readonly points: FieldPoints;
  /** By plot: its points, the wet mass that passed between them, and what the beam says of both together. */
  readonly plots: readonly {
    readonly machine: string;
    readonly rows: Int32Array;
    readonly remainder_kg: number;
    readonly totals: {
      readonly x_kg: number;
      readonly running_s: number;
      readonly x2_kg: number;
      readonly xm_kg: number;
    };
  }[];
}

/** The same before any rule has been asked, with what the rules look at. */
export interface UnscreenedField {
  readonly points: Omit<FieldPoints, 'screened_by'>;
  readonly screening: ScreenInput;
  readonly plots: ScreenedField['plots'];
}

/** The field with the reason for which each point is left out, if any. */
export function screenField(
  { points, screening, plots }: UnscreenedField,
  rules: Readonly<Partial<Record<ScreeningRule, RuleNumbers>>>,
  exclusions: readonly Exclusion[],
  frame: ExclusionFrame,
): ScreenedField {
  const by_hand = excludedByHand(points, exclusions, frame);
  return { points: { ...points, screened_by: screenPoints(screening, by_hand, rules) }, plots };
}

/** Points of all machines in time order. */
export function pointsOfField(input: FieldPointsInput): UnscreenedField {
  const { plots } = input.ground;
  const order = timeOrder(plots.map(({ rows }) => rows.t0_s));
  const n = order.row.length;
  const numbers = plots.map((plot, p) => plotNumbers(input, p, plot.record));
  const column = (of: (plot: Plot, own: (typeof numbers)[number]) => Float64Array) =>
    inTimeOrder(
      order,
      plots.map((plot, p) => of(plot, numbers[p])),
    );
  const mask = (of: (plot: Plot, own: (typeof numbers)[number]) => Uint8Array) =>
    gathered(
      order,
      plots.map((plot, p) => of(plot, numbers[p])),
      new Uint8Array(n),
    );
  const integers = (of: (plot: Plot, own: (typeof numbers)[number]) => Int32Array) =>
    gathered(
      order,
      plots.map((plot, p) => of(plot, numbers[p])),
      new Int32Array(n),
    );

  const east_m = column(({ rows }) => middle(rows.east0_m, rows.east1_m));
  const north_m = column(({ rows }) => middle(rows.north0_m, rows.north1_m));
  const distance_m = column(({ rows }) => rows.distance_m);
  const mass_kg = column((_, own) => own.mass_kg);
  const moisture_pct = column((_, own) => own.moisture_pct);
  const duration_s = column((_, own) => own.duration_s);
  const fresh_area_m2 = column((plot) => plot.fresh_area_m2);
  const cut_width_m = column((plot) => plot.cut_width_m);
  const speed_m_s = column(({ rows }) => rows.speed_m_s);
  const position_se_m = column(({ rows }) => rows.position_se_m);
  const width_se_m = position_se_m.map((se_m) => WIDTH_ERROR_SHARE * se_m);
  const machines = plots.map(({ record }) => input.records[record].machine);
  const machine = order.part.map((p) => machines[p]);
  const pass = integers(({ rows }) => rows.pass);
  const { standard_moisture_pct } = input;
  const yieldInput = { mass_kg, fresh_area_m2, cut_width_m, moisture_pct, standard_moisture_pct };
  const yield_kg_m2 = yieldsAtStandardMoisture(yieldInput);
  const plotRows = plots.map((plot, p) => rowsOfPart(order, p, plot.rows.t0_s.length));
  const mixing_se = plots.map(({ rows }, p) =>
    mixingError(
      {
        t_s: numbers[p].t_s,
        pass: rows.pass,
        yield_kg_m2: pickRows(yield_kg_m2, plotRows[p]),
        noise_se_kg_m2: quotient(numbers[p].paddle_se_kg, plots[p].fresh_area_m2),
      },
      numbers[p].mixing_s,
    ),
  );
  return {
    points: {
      field: input.sheet.name,
      crop: input.crop,
      t_s: column((_, own) => own.t_s),
      machine,
      pass,
      load: integers((_, own) => own.load),
      longitude_deg: column((plot) => plot.longitude_deg),
      latitude_deg: column((plot) => plot.latitude_deg),
      east_m,
      north_m,
      heading_rad: column(({ rows }) => rows.heading0_rad),
      speed_m_s,
      distance_m,
      duration_s,
      cut_width_m,
      width_se_m,
      fresh_area_m2,
      mass_kg,
      mass_flow_kg_s: quotient(mass_kg, duration_s),
      volume_flow_m3_s: column((_, own) => own.volume_flow_m3_s),
      moisture_pct,
      yield_kg_m2,
      yield_se_kg_m2: yieldStandardErrors(yieldInput, yield_kg_m2, {
        sensor_se_kg: column((_, own) => own.sensor_se_kg),
        calibration_se_kg: column((_, own) => own.calibration_se_kg),
        width_se_m,
        mixing_se_kg_m2: columnOf(n, (k) => mixing_se[order.part[k]]),
      }),
    },
    screening: {
      machine,
      pass,
      duration_s,
      speed_m_s,
      width_share: column(({ cut_width_m, rows }) => quotient(cut_width_m, rows.header_width_m)),
      fresh_area_m2,
      position_se_m,
      no_fix: mask(({ rows }) => rows.no_fix),
      outside: mask(({ outside }) => outside),
      mismatch: column((_, own) => own.mismatch),
      near_end: mask((_, own) => own.near_end),
      yield_kg_m2,
      distance_m,
      fill: column((_, own) => own.fill),
      moisture_pct,
      east_m,
      north_m,
      header_width_m: column(({ rows }) => rows.header_width_m),
    },
    plots: plots.map((_, p) => ({
      machine: input.machines[machines[p]].id,
      rows: plotRows[p],
      remainder_kg: numbers[p].remainder_kg,
      totals: numbers[p].totals,
    })),
  };
}

/** Where the rows of one plot stand among the points. */
function rowsOfPart({ part }: TimeOrder, p: number, count: number): Int32Array {
  const rows = new Int32Array(count);
  let next = 0;
  for (let k = 0; k < part.length; k++) if (part[k] === p) rows[next++] = k;
  return rows;
}

function middle(a: Float64Array, b: Float64Array): Float64Array {
  return a.map((x, i) => (x + b[i]) / 2);
}

function quotient(a: Float64Array, b: Float64Array): Float64Array {
  return a.map((x, i) => x / b[i]);
}

/** Numbers of one plot's rows that do not depend on other machines. */
function plotNumbers(input: FieldPointsInput, p: number, r: number) {
  const { rows } = input.ground.plots[p];
  const { lag, record } = input.lags.plots[p];
  const credit = input.credit.plots[p];
  const grain = input.grains[r];
  const { id } = input.machines[input.records[r].machine];
  const { fit, bulk_density_kg_m3 } = input.massFitOf(id);
  const density = grain.passage.basis === 'volume' ? bulk_density_kg_m3 : 1;
  const moisture = input.moistures[r];
  const mixing_s = lag.mixing_s > 0 ? lag.mixing_s : UNKNOWN_MIXING_S;
  // unsmeared grain lies where it was cut: nothing of the response is left to answer for
  const isSharp = input.credit.noise_gains[p] !== 1;
  const mismatch = responseMismatch(record, isSharp ? 0 : mixing_s);
  const load = loadsAt(middle(credit.beam0_s, credit.beam1_s), id, input.loads);
  const grade = gradeOfRows(input, load, density, fit.test_weight !== undefined);
  const x_kg = credit.amount.map((amount, row) => grade.density[row] * amount);
  const x2_kg = credit.fill_weighted.map((weighted, row) => grade.density[row] * weighted);
  const { remainder } = credit;
  const moisture_pct = moisturesAt(
    moisture,
    middle(rows.t0_s, rows.t1_s).map((s) => s + lag.moisture_s),
  ).map((seen) => (Number.isNaN(seen) ? input.fallback_moisture_pct : seen));
  const xm_kg = x_kg.map((x, row) => gradeWeighted(fit, x, moisture_pct[row], grade.share[row]));
  const between_kg = density * remainder.amount;
  const meanShare = sumOf(x_kg) === 0 ? 0 : sumOf(xm_kg) / sumOf(x_kg);
  const paddle_kg = density * orZero(grain.paddle_scatter_m3);
  const zero_kg_s = density * grain.zero_se_m3_s;
  const marginal_gain = x_kg.map((x, row) => marginalGain(fit, x > 0 ? x2_kg[row] / x : 0));
  const paddle_se_kg = paddlesIn(input.records[r], credit.beam0_s, credit.beam1_s).map(
    (count, row) => marginal_gain[row] * paddle_kg * Math.sqrt(count),
  );
  const t_s = middle(rows.t0_s, rows.t1_s);
  const duration_s = rows.t1_s.map((t1_s, row) => t1_s - rows.t0_s[row]);
  return {
    t_s,
    duration_s,
    // unsmeared grain has been put back to where it was cut
    mixing_s: isSharp ? 0 : mixing_s,
    load,
    volume_flow_m3_s:
      grain.passage.basis === 'volume'
        ? quotient(credit.amount, duration_s)
        : new Float64Array(t_s.length).fill(Number.NaN),
    fill:
      grain.passage.fill_weighted === undefined
        ? new Float64Array(t_s.length).fill(Number.NaN)
        : quotient(x2_kg, x_kg),
    mass_kg: x_kg.map((x, row) => applyLoadFit(fit, x, credit.running_s[row], x2_kg[row], xm_kg[row])),
    calibration_se_kg: x_kg.map((x, row) =>
      orZero(loadFitStandardError(fit, x, credit.running_s[row], x2_kg[row], xm_kg[row])),
    ),
    paddle_se_kg,
    sensor_se_kg: paddle_se_kg.map((se_kg, row) =>
      lengthOf(se_kg, marginal_gain[row] * zero_kg_s * credit.running_s[row]),
    ),
    remainder_kg: applyLoadFit(
      fit,
      between_kg,
      remainder.running_s,
      density * remainder.fill_weighted,
      meanShare * between_kg,
    ),
    totals: {
      x_kg: sumOf(x_kg) + between_kg,
      running_s: sumOf(credit.running_s) + remainder.running_s,
      x2_kg: sumOf(x2_kg) + density * remainder.fill_weighted,
      xm_kg: sumOf(xm_kg) + meanShare * between_kg,
    },
    mismatch,
    near_end: nearEnds(rows.pass, rows.t0_s, rows.t1_s, RAMP_MIXINGS * mixing_s),
    moisture_pct,
  };
}

/** Bulk density of each row's grain and its share above the usual: its load's where the fit asks for it and it is known. */
function gradeOfRows(
  { test_weights }: FieldPointsInput,
  load: Int32Array,
  density: number,
  isAsked: boolean,
): { readonly density: Float64Array; readonly share: Float64Array } {
  const usual = test_weights?.usual_kg_m3 ?? density;
  const shares = test_weights?.shares ?? new Float64Array();
  const share = columnOf(load.length, (row) => {
    const own = load[row] >= 0 && load[row] < shares.length ? shares[load[row]] : Number.NaN;
    return Number.isNaN(own) ? density / usual - 1 : own;
  });
  return {
    density: isAsked ? share.map((above) => usual * (1 + above)) : share.map(() => density),
    share,
  };
}

/** Paddles that passed the beam in each row's grain time; 0 for flow logs. */
function paddlesIn(record: MachineRecord, beam0_s: Float64Array, beam1_s: Float64Array): Float64Array {
  const counts = new Float64Array(beam0_s.length);
  if (record.grain.kind !== 'paddles') return counts;
  const { t_s, slots } = record.grain.paddles;
  let k = counts.length > 0 ? upperBound(t_s, beam0_s[0]) : 0;
  for (let row = 0; row < counts.length; row++) {
    while (k > 0 && t_s[k - 1] > beam0_s[row]) k--;
    while (k < t_s.length && t_s[k] <= beam0_s[row]) k++;
    for (; k < t_s.length && t_s[k] <= beam1_s[row]; k++) counts[row] += slots[k];
  }
  return counts;
}

/** 1 for rows within `reach_s` of the start or end of their pass. */
function nearEnds(pass: Int32Array, t0_s: Float64Array, t1_s: Float64Array, reach_s: number): Uint8Array {
  const near = new Uint8Array(pass.length);
  let start_s = 0;
  for (let i = 0; i < pass.length; i++) {
    if (i === 0 || pass[i] !== pass[i - 1]) start_s = t0_s[i];
    if (pass[i] >= 0 && t0_s[i] - start_s < reach_s) near[i] = 1;
  }
  let end_s = 0;
  for (let i = pass.length - 1; i >= 0; i--) {
    if (i === pass.length - 1 || pass[i] !== pass[i + 1]) end_s = t1_s[i];
    if (pass[i] >= 0 && end_s - t1_s[i] < reach_s) near[i] = 1;
  }
  return near;
}

function orZero(x: number): number {
  return Number.isNaN(x) ? 0 : x;
}
