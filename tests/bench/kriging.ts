/**
 * How the time of kriging grows with the number of points, beside looking at every point for every cell:
 * `npx tsc -b && node dist/tests/bench/kriging.js`. Prints a table; nothing is asserted, for times belong to the machine.
 * Exponents are of processor time, all threads together, which a busy machine changes least. Points lie as a header of 9 m and a fix every 1.5 m put them; half as many cells; 32 neighbours; two threads.
 */
import type { FieldPoints } from '../../core/result.ts';
import { cellEast_m, cellNorth_m } from '../../core/surface/cell-grid.ts';
import { OrdinaryKriging } from '../../core/surface/kriging.ts';
import { planSurface, type SurfacePlan } from '../../core/surface/surface-plan.ts';
import { surfaceOfField } from '../../electron/host/surface-threads.ts';

const SIZES = [12_500, 25_000, 50_000, 100_000, 200_000];
/** The plain way is measured on as many cells, and counted up. */
const PLAIN_CELLS = 60;
const NEIGHBOURS = 32;
const WIDTH_M = 9;
const STEP_M = 1.5;

function points(count: number): FieldPoints {
  const perPass = Math.round(Math.sqrt(count * WIDTH_M * STEP_M) / STEP_M);
  const column = (made: (i: number) => number) => Float64Array.from({ length: count }, (_, i) => made(i));
  const wobble = (i: number) => ((i * 7919) % 1009) / 1009 - 0.5;
  const east_m = column((i) => WIDTH_M * Math.floor(i / perPass) + 0.4 * wobble(i));
  const north_m = column((i) => STEP_M * (i % perPass) + 0.3 * wobble(i + 500));
  const absent = column(() => Number.NaN);
  return {
    field: 'bench',
    crop: 'corn',
    t_s: column((i) => i),
    machine: new Int32Array(count),
    pass: Int32Array.from({ length: count }, (_, i) => Math.floor(i / perPass)),
    load: new Int32Array(count),
    longitude_deg: absent,
    latitude_deg: absent,
    east_m,
    north_m,
    heading_rad: absent,
    speed_m_s: absent,
    distance_m: absent,
    duration_s: absent,
    cut_width_m: column(() => WIDTH_M),
    width_se_m: absent,
    fresh_area_m2: column(() => WIDTH_M * STEP_M),
    mass_kg: absent,
    mass_flow_kg_s: absent,
    volume_flow_m3_s: absent,
    moisture_pct: absent,
    yield_kg_m2: column(
      (i) => 1 + 0.2 * Math.sin(east_m[i] / 60) + 0.1 * Math.cos(north_m[i] / 45) + 0.15 * wobble(i + 77),
    ),
    yield_se_kg_m2: absent,
    screened_by: new Uint8Array(count),
  };
}

/** All points looked at for every cell, the nearest sorted out; seconds for all cells, from a few of them. */
function plainSeconds(plan: SurfacePlan): number {
  const { east_m, north_m, measured } = plan.places;
  if (plan.model === undefined) throw new Error('no model');
  const begin = processorSeconds();
  for (let k = 0; k < PLAIN_CELLS; k++) {
    const cell = plan.cells[Math.floor(((k + 0.5) * plan.cells.length) / PLAIN_CELLS)];
    const [east, north] = [cellEast_m(plan.grid, cell), cellNorth_m(plan.grid, cell)];
    const squared = east_m.map((e, i) => (e - east) ** 2 + (north_m[i] - north) ** 2);
    const limit = squared.toSorted()[NEIGHBOURS - 1];
    const rows = Int32Array.from(squared.keys()).filter((row) => squared[row] <= limit);
    const near = {
      east_m: Float64Array.from(rows, (row) => east_m[row]),
      north_m: Float64Array.from(rows, (row) => north_m[row]),
      measured: Float64Array.from(rows, (row) => measured[row]),
    };
    new OrdinaryKriging(near, plan.model, { block_m: plan.block_m }).at(east, north);
  }
  return ((processorSeconds() - begin) / PLAIN_CELLS) * plan.cells.length;
}

function processorSeconds(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
}

process.stdout.write('   points    cells     wall s  processor s   exponent   all points s   exponent\n');
let before: { count: number; seconds: number; plain: number } | undefined;
for (const count of SIZES) {
  const request = {
    points: points(count),
    outline: [],
    sheet: { cell_m: Math.sqrt(2 * WIDTH_M * STEP_M), neighbours: NEIGHBOURS },
  };
  const begin = { wall_ms: performance.now(), processor_s: processorSeconds() };
  const surface = await surfaceOfField(request);
  const wall_s = (performance.now() - begin.wall_ms) / 1000;
  const seconds = processorSeconds() - begin.processor_s;
  if (!surface.ok) throw new Error(surface.error.text);
  const plan = planSurface(request.points, request.outline, request.sheet);
  if (!plan.ok) throw new Error(plan.error.text);
  const plain = plainSeconds(plan.value);
  const growth = (now: number, then: number | undefined) =>
    before === undefined || then === undefined
      ? ''
      : (Math.log(now / then) / Math.log(count / before.count)).toFixed(2);
  const cells = [
    String(count).padStart(9),
    String(plan.value.cells.length).padStart(8),
    wall_s.toFixed(2).padStart(10),
    seconds.toFixed(2).padStart(12),
    growth(seconds, before?.seconds).padStart(10),
    plain.toFixed(0).padStart(14),
    growth(plain, before?.plain).padStart(10),
  ];
  process.stdout.write(`${cells.join(' ')}\n`);
  before = { count, seconds, plain };
}
