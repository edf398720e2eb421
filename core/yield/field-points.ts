/**
 * Rows of ground with their grain → the points of one field: wet mass by the load fit, moisture, yield at standard moisture
 * with its standard error, and the rule that caught the point, if any.
 */
import { ALL_MACHINES } from '../calibrate/load.ts';
import { applyLoadFit, loadFitStandardError, marginalGain } from '../calibrate/load-coefficients.ts';
import type { MassFit } from '../calibrate/season-fit.ts';
import type { FieldLags } from '../lag/field-lags.ts';
import { responseMismatch } from '../lag/response-mismatch.ts';
import type { FieldPoints, LoadSpan } from '../result.ts';
import type { RuleNumbers } from '../screen/rules.ts';
import { type ScreenInput, screenPoints } from '../screen/screen.ts';
import type { FieldSheet, MachineSheet, ScreeningRule } from '../season.ts';
import type { MachineGrain } from '../signal/grain-of-machine.ts';
import type { MachineRecord, MoistureRecord } from '../signal/machine-record.ts';
import type { FieldGround } from '../track/field-ground.ts';
import type { FieldCredit } from './credit-fields.ts';
import { moistureAt } from './moisture.ts';
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
}

/** A ramp is sought so many mixings from the start and end of a pass. */
const RAMP_MIXINGS = 6;
/** Where the mixing of a log is not known, ends are taken to blur like those of a middling machine, s. */
const UNKNOWN_MIXING_S = 3;
/** Two fixes share most of their error; this much of it is left between neighbouring passes (ours, from simulation). */
const WIDTH_ERROR_SHARE = Math.SQRT2;

/** One field's points, and what belongs to it beside them. */
export interface ScreenedField {
  readonly points: FieldPoints;
  /** By plot: its points, the wet mass that passed between them, and what the beam says of both together. */
  readonly plots: readonly {
    readonly machine: string;
    readonly rows: Int32Array;
    readonly remainder_kg: number;
    readonly totals: { readonly x_kg: number; readonly running_s: number; readonly x2_kg: number };
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
): ScreenedField {
  return { points: { ...points, screened_by: screenPoints(screening, rules) }, plots };
}

/** Points of all machines in time order. */
export function pointsOfField(input: FieldPointsInput): UnscreenedField {
  const order = timeOrder(input.ground);
  const n = order.length;
  const plotOf = (k: number) => input.ground.plots[order[k].plot];
  const creditOf = (k: number) => input.credit.plots[order[k].plot];
  const column = (of: (k: number, row: number) => number) =>
    Float64Array.from({ length: n }, (_, k) => of(k, order[k].row));
  const recordOf = (k: number) => input.records[plotOf(k).record];
  const machineOf = (k: number) => input.machines[recordOf(k).machine];

  const plots = input.ground.plots.map((plot, p) => plotNumbers(input, p, plot.record));
  const moisture_pct = column((k, row) => plots[order[k].plot].moisture_pct[row]);
  const mass_kg = column((k, row) => plots[order[k].plot].mass_kg[row]);
  const duration_s = column((k, row) => plotOf(k).rows.t1_s[row] - plotOf(k).rows.t0_s[row]);
  const fresh_area_m2 = column((k, row) => plotOf(k).fresh_area_m2[row]);
  const cut_width_m = column((k, row) => plotOf(k).cut_width_m[row]);
  const yieldInput = {
    mass_kg,
    fresh_area_m2,
    cut_width_m,
    moisture_pct,
    standard_moisture_pct: input.standard_moisture_pct,
  };
  const yield_kg_m2 = yieldsAtStandardMoisture(yieldInput);
  const position_se_m = column((k, row) => plotOf(k).rows.position_se_m[row]);
  const width_se_m = position_se_m.map((se_m) => WIDTH_ERROR_SHARE * se_m);
  const pass = Int32Array.from(order, ({ plot, row }) => input.ground.plots[plot].rows.pass[row]);
  const machine = Int32Array.from(order, (_, k) => recordOf(k).machine);
  const speed_m_s = column((k, row) => plotOf(k).rows.speed_m_s[row]);
  const screening: ScreenInput = {
    machine,
    pass,
    duration_s,
    speed_m_s,
    width_share: column((k, row) => plotOf(k).cut_width_m[row] / plotOf(k).rows.header_width_m[row]),
    fresh_area_m2,
    position_se_m,
    no_fix: Uint8Array.from(order, ({ plot, row }) => input.ground.plots[plot].rows.no_fix[row]),
    outside: Uint8Array.from(order, ({ plot, row }) => input.ground.plots[plot].outside[row]),
    mismatch: column((k, row) => plots[order[k].plot].mismatch[row]),
    near_end: Uint8Array.from(order, ({ plot, row }) => plots[plot].near_end[row]),
    yield_kg_m2,
  };
  const points: UnscreenedField['points'] = {
    field: input.sheet.name,
    crop: input.crop,
    t_s: column((k, row) => (plotOf(k).rows.t0_s[row] + plotOf(k).rows.t1_s[row]) / 2),
    machine,
    pass,
    load: Int32Array.from(order, ({ row }, k) =>
      loadOf(input.loads, machineOf(k).id, (creditOf(k).beam0_s[row] + creditOf(k).beam1_s[row]) / 2),
    ),
    longitude_deg: column((k, row) => plotOf(k).longitude_deg[row]),
    latitude_deg: column((k, row) => plotOf(k).latitude_deg[row]),
    east_m: column((k, row) => (plotOf(k).rows.east0_m[row] + plotOf(k).rows.east1_m[row]) / 2),
    north_m: column((k, row) => (plotOf(k).rows.north0_m[row] + plotOf(k).rows.north1_m[row]) / 2),
    heading_rad: column((k, row) => plotOf(k).rows.heading0_rad[row]),
    speed_m_s,
    distance_m: column((k, row) => plotOf(k).rows.distance_m[row]),
    duration_s,
    cut_width_m,
    width_se_m,
    fresh_area_m2,
    mass_kg,
    mass_flow_kg_s: mass_kg.map((kg, k) => kg / duration_s[k]),
    volume_flow_m3_s: column((k, row) =>
      input.grains[plotOf(k).record].passage.basis === 'volume'
        ? creditOf(k).amount[row] / duration_s[k]
        : Number.NaN,
    ),
    moisture_pct,
    yield_kg_m2,
    yield_se_kg_m2: yieldStandardErrors(yieldInput, yield_kg_m2, {
      sensor_se_kg: column((k, row) => plots[order[k].plot].sensor_se_kg[row]),
      calibration_se_kg: column((k, row) => plots[order[k].plot].calibration_se_kg[row]),
      width_se_m,
    }),
  };
  return {
    points,
    screening,
    plots: input.ground.plots.map((plot, p) => ({
      machine: input.machines[input.records[plot.record].machine].id,
      rows: Int32Array.from(order.flatMap((at, k) => (at.plot === p ? [k] : []))),
      remainder_kg: plots[p].remainder_kg,
      totals: plots[p].totals,
    })),
  };
}

function timeOrder({ plots }: FieldGround): { plot: number; row: number }[] {
  const order = plots.flatMap((plot, p) => Array.from(plot.rows.t0_s, (_, row) => ({ plot: p, row })));
  const startOf = ({ plot, row }: { plot: number; row: number }) => plots[plot].rows.t0_s[row];
  return plots.length > 1 ? order.sort((a, b) => startOf(a) - startOf(b) || a.plot - b.plot) : order;
}

/** Numbers of one plot's rows that do not depend on other machines. */
function plotNumbers(input: FieldPointsInput, p: number, r: number) {
  const { rows } = input.ground.plots[p];
  const { lag, record } = input.lags.plots[p];
  const credit = input.credit.plots[p];
  const grain = input.grains[r];
  const { fit, bulk_density_kg_m3 } = input.massFitOf(input.machines[input.records[r].machine].id);
  const density = grain.passage.basis === 'volume' ? bulk_density_kg_m3 : 1;
  const moisture = input.moistures[r];
  const mixing_s = lag.mixing_s > 0 ? lag.mixing_s : UNKNOWN_MIXING_S;
  // unsmeared grain lies where it was cut: nothing of the response is left to answer for
  const isSharp = input.credit.noise_gains[p] !== 1;
  const mismatch = responseMismatch(record, isSharp ? 0 : mixing_s);
  const x_kg = credit.amount.map((amount) => density * amount);
  const x2_kg = credit.fill_weighted.map((weighted) => density * weighted);
  const { remainder } = credit;
  const paddle_kg = density * orZero(grain.paddle_scatter_m3);
  const zero_kg_s = density * grain.zero_se_m3_s;
  const paddles = paddlesIn(input.records[r], credit.beam0_s, credit.beam1_s);
  return {
    mass_kg: x_kg.map((x, row) => applyLoadFit(fit, x, credit.running_s[row], x2_kg[row])),
    calibration_se_kg: x_kg.map((x, row) =>
      orZero(loadFitStandardError(fit, x, credit.running_s[row], x2_kg[row])),
    ),
    sensor_se_kg: paddles.map(
      (count, row) =>
        marginalGain(fit, x_kg[row] > 0 ? x2_kg[row] / x_kg[row] : 0) *
        Math.hypot(paddle_kg * Math.sqrt(count), zero_kg_s * credit.running_s[row]),
    ),
    remainder_kg: applyLoadFit(
      fit,
      density * remainder.amount,
      remainder.running_s,
      density * remainder.fill_weighted,
    ),
    totals: {
      x_kg: sumOf(x_kg) + density * remainder.amount,
      running_s: sumOf(credit.running_s) + remainder.running_s,
      x2_kg: sumOf(x2_kg) + density * remainder.fill_weighted,
    },
    mismatch,
    near_end: nearEnds(rows.pass, rows.t0_s, rows.t1_s, RAMP_MIXINGS * mixing_s),
    moisture_pct: rows.t0_s.map((t0_s, row) => {
      const at_s = (t0_s + rows.t1_s[row]) / 2 + lag.moisture_s;
      const seen = moistureAt(moisture, at_s);
      return Number.isNaN(seen) ? input.fallback_moisture_pct : seen;
    }),
  };
}

/** Paddles that passed the beam in each row's grain time; 0 for flow logs. */
function paddlesIn(record: MachineRecord, beam0_s: Float64Array, beam1_s: Float64Array): Float64Array {
  const counts = new Float64Array(beam0_s.length);
  if (record.grain.kind !== 'paddles') return counts;
  const { t_s, slots } = record.grain.paddles;
  let k = 0;
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

/** Index of the load into which grain went that passed the machine's beam at `beam_s`; −1 when none. */
function loadOf(loads: FieldPointsInput['loads'], machine: string, beam_s: number): number {
  return loads.findIndex(
    (load) =>
      (load.machine === machine || load.machine === ALL_MACHINES) &&
      beam_s >= load.start_s &&
      beam_s < load.end_s,
  );
}

function sumOf(column: Float64Array): number {
  return column.reduce((total, element) => total + element, 0);
}

function orZero(x: number): number {
  return Number.isNaN(x) ? 0 : x;
}
