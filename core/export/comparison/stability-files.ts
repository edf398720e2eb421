/** What `seasons` writes: cells as GeoJSON [RFC 7946] and as CSV, and what they rest on as JSON. */
import { STABILITY_CLASSES, type Stability } from '../../analysis/seasons/stability.ts';
import { cellEast_m, cellNorth_m } from '../../surface/cell-grid.ts';
import type { LocalFrame } from '../../track/local-frame.ts';
import { tHaFromKgM2 } from '../../units.ts';
import { collectionPieces } from '../formats/geojson.ts';
import { exactBoundsOf } from '../formats/layer-values.ts';
import { cellRings } from '../layers/cell-layer.ts';
import type { ExportLayer, LayerColumn } from '../layers/layer.ts';
import { type ComparisonFile, comparisonsText, csvTable } from './comparison-files.ts';

/** Of a degree, in the table: a centimetre. */
const DEGREE_DIGITS = 7;

/** The files, ground across the 180° meridian cut there. Same stability, same bytes. */
export function stabilityFiles(
  made: Stability,
  frame: LocalFrame,
  about: { readonly field: string; readonly generated_by: string },
): ComparisonFile[] {
  return [
    { name: 'stability.geojson', pieces: cellsGeojson(made, frame) },
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

function cellsGeojson(made: Stability, frame: LocalFrame): Iterable<string> {
  const layers = [cellsLayer(made, frame)];
  return collectionPieces(layers, { bounds: exactBoundsOf(layers) });
}

/** The cells as a layer of the field in its first season. */
function cellsLayer(made: Stability, frame: LocalFrame): ExportLayer {
  const { grid, cells, seasons } = made;
  const column = (name: string, about: string, digits: number, numbers: Float64Array): LayerColumn => ({
    kind: digits === 0 ? 'whole' : 'real',
    name,
    short_name: name,
    about,
    digits,
    numbers,
  });
  return {
    kind: 'cells',
    field: seasons[0].field,
    crop: seasons[0].crop,
    rows: cells.length,
    geometry: { kind: 'polygon', rings: cellRings(frame, grid, cells) },
    columns: [
      {
        kind: 'text',
        name: 'class',
        short_name: 'class',
        about: made.definition,
        words: STABILITY_CLASSES,
        codes: Int32Array.from(made.class),
      },
      column('mean_pct', "Mean over the seasons, % of the field's mean.", 1, made.mean_pct),
      column('cv_pct', 'Standard deviation over the seasons, % of that mean.', 1, made.cv_pct),
      column('seasons', 'Seasons that have the cell.', 0, Float64Array.from(made.seasons_count)),
    ],
  };
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
