/** What `seasons` writes: cells as GeoJSON [RFC 7946] and as CSV, and what they rest on as JSON. */
import { STABILITY_CLASSES, type Stability } from '../../analysis/seasons/stability.ts';
import { cellEast_m, cellNorth_m } from '../../surface/cell-grid.ts';
import type { LocalFrame } from '../../track/local-frame.ts';
import { tHaFromKgM2 } from '../../units.ts';
import { fixedJson } from '../number-text.ts';
import { type ComparisonFile, comparisonsText, csvTable } from './comparison-files.ts';

/** Of a degree: a centimetre. */
const DEGREE_DIGITS = 7;

export function stabilityFiles(
  made: Stability,
  frame: LocalFrame,
  about: { readonly field: string; readonly generated_by: string },
): ComparisonFile[] {
  return [
    { name: 'stability.geojson', pieces: [cellsGeojson(made, frame)] },
    { name: 'stability.csv', pieces: [cellsCsv(made, frame)] },
    { name: 'stability.json', pieces: [comparisonsText({ ...about, ...stabilityFigures(made) })] },
  ];
}

export type StabilityFigures = ReturnType<typeof stabilityFigures>;

/** Everything but the cells. */
export function stabilityFigures({
  seasons,
  definition,
  high_pct,
  unstable_cv_pct,
  classes,
  grid,
  cells,
}: Stability) {
  return {
    definition,
    high_pct,
    unstable_cv_pct,
    cell_m: grid.cell_m,
    cells: cells.length,
    classes,
    seasons: seasons.map(({ percent: _, mean_yield_kg_m2, ...season }) => ({
      ...season,
      mean_yield_t_ha: tHaFromKgM2(mean_yield_kg_m2),
    })),
  };
}

function cellsGeojson(made: Stability, frame: LocalFrame): string {
  const { grid, cells } = made;
  const corners = [
    [-0.5, -0.5],
    [0.5, -0.5],
    [0.5, 0.5],
    [-0.5, 0.5],
  ].map(([east, north]) =>
    frame.toGeographic(
      Float64Array.from(cells, (cell) => cellEast_m(grid, cell) + east * grid.cell_m),
      Float64Array.from(cells, (cell) => cellNorth_m(grid, cell) + north * grid.cell_m),
    ),
  );
  const degrees = (angle_deg: number) => fixedJson(angle_deg, DEGREE_DIGITS);
  const features = Array.from(cells, (_, k) => {
    const ring = [...corners, corners[0]].map(
      ({ longitude_deg, latitude_deg }) => `[${degrees(longitude_deg[k])},${degrees(latitude_deg[k])}]`,
    );
    const properties = {
      class: STABILITY_CLASSES[made.class[k]],
      mean_pct: Number(made.mean_pct[k].toFixed(1)),
      cv_pct: Number(made.cv_pct[k].toFixed(1)),
      seasons: made.seasons_count[k],
    };
    return `{"type":"Feature","geometry":{"type":"Polygon","coordinates":[[${ring.join(',')}]]},"properties":${JSON.stringify(properties)}}`;
  });
  const all = (of: 'longitude_deg' | 'latitude_deg') => corners.flatMap((corner) => [...corner[of]]);
  const ends = (angles_deg: readonly number[]) =>
    angles_deg.reduce(
      ([least, most], angle) => [Math.min(least, angle), Math.max(most, angle)],
      [Infinity, -Infinity],
    );
  const [west, east] = ends(all('longitude_deg'));
  const [south, north] = ends(all('latitude_deg'));
  const box = cells.length === 0 ? '' : `"bbox":[${[west, south, east, north].map(degrees).join(',')}],`;
  return `{"type":"FeatureCollection",${box}"features":[\n${features.join(',\n')}\n]}\n`;
}

function cellsCsv(made: Stability, frame: LocalFrame): string {
  const { grid, cells, seasons } = made;
  const { longitude_deg, latitude_deg } = frame.toGeographic(
    Float64Array.from(cells, (cell) => cellEast_m(grid, cell)),
    Float64Array.from(cells, (cell) => cellNorth_m(grid, cell)),
  );
  const head = [
    'longitude_deg',
    'latitude_deg',
    'class',
    'mean_pct',
    'cv_pct',
    'seasons',
    ...seasons.map((_, s) => `season_${s + 1}_pct`),
  ];
  const rows = Array.from(cells, (_, k) => [
    Number(longitude_deg[k].toFixed(DEGREE_DIGITS)),
    Number(latitude_deg[k].toFixed(DEGREE_DIGITS)),
    STABILITY_CLASSES[made.class[k]],
    made.mean_pct[k],
    made.cv_pct[k],
    made.seasons_count[k],
    ...seasons.map(({ percent }) => percent[k]),
  ]);
  return csvTable(head, rows);
}
