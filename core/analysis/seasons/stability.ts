/**
 * Several seasons of one field: each normalised to its own mean, then the mean over the seasons and how much it sways decide
 * what a place is [Blackmore2000].
 */
import { type CellGrid, cellAt, cellEast_m, cellNorth_m } from '../../surface/cell-grid.ts';
import { haFromM2 } from '../../units.ts';
import type { StabilitySheet } from './stability-sheet.ts';

/** One season's surface, in the common plane and with the common cell. */
export interface SeasonSurface {
  /** Of the season. */
  readonly name: string;
  readonly field: string;
  readonly crop: string;
  readonly matched_by: 'given' | 'name' | 'ground';
  readonly shared_ground: number;
  readonly grid: CellGrid;
  readonly cells: Int32Array;
  /** At standard moisture, one a cell; NaN where there is none. */
  readonly yield_kg_m2: Float64Array;
}

/** What a place can be over the seasons; `Stability.class` holds places in this list. */
export const STABILITY_CLASSES = ['high and stable', 'low and stable', 'unstable'] as const;

/** Cells that two seasons or more have, one row each. */
export interface Stability {
  readonly grid: CellGrid;
  readonly cells: Int32Array;
  readonly seasons: readonly StabilitySeason[];
  /** Mean over the seasons, % of the field's mean. */
  readonly mean_pct: Float64Array;
  /** Standard deviation over the seasons as % of that mean. */
  readonly cv_pct: Float64Array;
  readonly seasons_count: Uint8Array;
  /** Place in `STABILITY_CLASSES`. */
  readonly class: Uint8Array;
  readonly high_pct: number;
  readonly unstable_cv_pct: number;
  /** What the classes mean, in a sentence. */
  readonly definition: string;
  readonly classes: readonly {
    readonly name: string;
    readonly cells: number;
    readonly area_ha: number;
    readonly share: number;
    readonly mean_pct: number | null;
  }[];
}

export interface StabilitySeason extends Omit<SeasonSurface, 'grid' | 'cells' | 'yield_kg_m2'> {
  /** Mean of its cells: what is 100 %. */
  readonly mean_yield_kg_m2: number;
  /** Yields of the common cells, % of that; NaN where the season has none. */
  readonly percent: Float64Array;
}

/** High from the field's own mean on, unstable above 30 %: the thresholds of [Blackmore2000], from memory. */
export const STABILITY_DEFAULTS = { high_pct: 100, unstable_cv_pct: 30 } as const;
const LEAST_SEASONS = 2;

/** Throws RangeError for fewer than two seasons, or for cells of another size than the grid's. */
export function seasonStability(
  grid: CellGrid,
  surfaces: readonly SeasonSurface[],
  sheet: StabilitySheet = {},
): Stability {
  if (surfaces.length < LEAST_SEASONS)
    throw new RangeError(`stability needs two seasons, not ${surfaces.length}`);
  const wide = surfaces.map((surface) => percentByCell(grid, surface));
  const cells: number[] = [];
  for (let cell = 0; cell < grid.columns * grid.rows; cell++)
    if (wide.filter(({ percent }) => Number.isFinite(percent[cell])).length >= LEAST_SEASONS)
      cells.push(cell);
  const { high_pct = STABILITY_DEFAULTS.high_pct, unstable_cv_pct = STABILITY_DEFAULTS.unstable_cv_pct } =
    sheet;
  const mean_pct = new Float64Array(cells.length);
  const cv_pct = new Float64Array(cells.length);
  const seasons_count = new Uint8Array(cells.length);
  const classes = new Uint8Array(cells.length);
  cells.forEach((cell, k) => {
    const held = wide.map(({ percent }) => percent[cell]).filter(Number.isFinite);
    const mean = held.reduce((sum, one) => sum + one, 0) / held.length;
    const squares = held.reduce((sum, one) => sum + (one - mean) ** 2, 0);
    mean_pct[k] = mean;
    cv_pct[k] = (100 * Math.sqrt(squares / (held.length - 1))) / mean;
    seasons_count[k] = held.length;
    classes[k] = !(cv_pct[k] <= unstable_cv_pct) ? 2 : mean >= high_pct ? 0 : 1;
  });
  return {
    grid,
    cells: Int32Array.from(cells),
    seasons: surfaces.map(({ grid: _grid, cells: _cells, yield_kg_m2: _yields, ...named }, s) => ({
      ...named,
      mean_yield_kg_m2: wide[s].mean_kg_m2,
      percent: Float64Array.from(cells, (cell) => wide[s].percent[cell]),
    })),
    mean_pct,
    cv_pct,
    seasons_count,
    class: classes,
    high_pct,
    unstable_cv_pct,
    definition: `Each season is taken as % of its own mean over the field. A place is unstable where the coefficient of variation of these % over the seasons is above ${unstable_cv_pct} %; else high and stable where their mean is ${high_pct} % or more, and low and stable below (after Blackmore 2000, Comput. Electron. Agric. 26:37–51).`,
    classes: STABILITY_CLASSES.map((name, c) => classFigures(name, c, classes, mean_pct, grid.cell_m)),
  };
}

function classFigures(
  name: string,
  place: number,
  classes: Uint8Array,
  mean_pct: Float64Array,
  cell_m: number,
) {
  const own = mean_pct.filter((_, k) => classes[k] === place);
  return {
    name,
    cells: own.length,
    area_ha: haFromM2(own.length * cell_m ** 2),
    share: classes.length === 0 ? 0 : own.length / classes.length,
    mean_pct: own.length === 0 ? null : own.reduce((sum, one) => sum + one, 0) / own.length,
  };
}

/** A season's yields by cell of the common grid, % of its mean. */
function percentByCell(grid: CellGrid, surface: SeasonSurface) {
  if (surface.grid.cell_m !== grid.cell_m)
    throw new RangeError(`cells of ${surface.grid.cell_m} m do not fall on cells of ${grid.cell_m} m`);
  const percent = new Float64Array(grid.columns * grid.rows).fill(Number.NaN);
  let [sum, count] = [0, 0];
  for (const amount of surface.yield_kg_m2)
    if (Number.isFinite(amount)) [sum, count] = [sum + amount, count + 1];
  const mean_kg_m2 = sum / count;
  surface.cells.forEach((cell, k) => {
    const at = cellAt(grid, cellEast_m(surface.grid, cell), cellNorth_m(surface.grid, cell));
    if (at >= 0) percent[at] = (100 * surface.yield_kg_m2[k]) / mean_kg_m2;
  });
  return { percent, mean_kg_m2 };
}
