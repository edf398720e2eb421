/** Layers of the chosen fields, put together to the sets that formats write, and the surfaces that some of them need. */
import { type Notice, type Result, success } from '../../../core/errors.ts';
import type { LayerSet } from '../../../core/export/formats/format.ts';
import { cellLayer } from '../../../core/export/layers/cell-layer.ts';
import type { ExportLayer, LayerKind } from '../../../core/export/layers/layer.ts';
import type { LayerExportChoice } from '../../../core/export/layers/layer-choice.ts';
import { type LayerField, layerField } from '../../../core/export/layers/layer-field.ts';
import { withMargin } from '../../../core/export/layers/margin-column.ts';
import { pointLayer } from '../../../core/export/layers/point-layer.ts';
import { swathLayer } from '../../../core/export/layers/swath-layer.ts';
import { zoneLayer } from '../../../core/export/layers/zone-layer.ts';
import { type YieldZones, yieldZones } from '../../../core/surface/field-zones.ts';
import { fieldFolders } from '../field-files.ts';
import { folderNameFrom } from '../file-name.ts';
import { cancelled } from '../job-messages.ts';
import type { ProgressListener, SeasonRun } from '../run-season.ts';
import { type FieldSurface, type SurfaceThreads, surfaceOfField } from '../surface-threads.ts';

/** The surface of the field at a place of the result's points, by the season's own settings. */
export type SurfaceOf = (
  run: SeasonRun,
  place: number,
  how?: Pick<SurfaceThreads, 'signal' | 'onProgress'>,
) => Promise<Result<FieldSurface>>;

/** The surface made anew, in threads. */
export const freshSurface: SurfaceOf = ({ season, result }, place, how) => {
  const outline = result.outlines[place] ?? [];
  const sheet = season.settings?.surface ?? {};
  return surfaceOfField({ points: result.points[place], outline, sheet }, how);
};

export interface MadeSurface {
  readonly surface: FieldSurface;
  readonly zones: YieldZones;
}

/** Of the fields that have one; the others are told of in the notices. Fails when it was stopped. */
export async function surfacesOf(
  run: SeasonRun,
  places: readonly number[],
  surfaceOf: SurfaceOf,
  { onProgress, signal }: { readonly onProgress: ProgressListener; readonly signal?: AbortSignal },
): Promise<Result<ReadonlyMap<number, MadeSurface>>> {
  const made = new Map<number, MadeSurface>();
  const notices: Notice[] = [];
  for (const [k, place] of places.entries()) {
    if (signal?.aborted) return cancelled(notices);
    const { field } = run.result.points[place];
    const tell = (share: number) => onProgress(`surface of ${field}`, (k + share) / places.length);
    tell(0);
    const surface = await surfaceOf(run, place, { signal, onProgress: (_stage, share) => tell(share) });
    if (signal?.aborted) return cancelled(notices);
    notices.push(...surface.notices);
    if (!surface.ok) {
      const { code, text } = surface.error;
      notices.push({ code, severity: 'look', source: field, count: 1, text });
      continue;
    }
    const { plan, cells } = surface.value;
    const zones = yieldZones(plan.grid, plan.cells, cells.yield_kg_m2, run.season.settings?.surface);
    made.set(place, { surface: surface.value, zones });
  }
  return success(made, notices);
}

/** Sets of each kind: one over all fields, or one for each; none of a kind that no field has. */
export function layerSets(
  run: SeasonRun,
  choice: LayerExportChoice,
  wanted: {
    readonly places: readonly number[];
    readonly kinds: readonly LayerKind[];
    readonly surfaces: ReadonlyMap<number, MadeSurface>;
  },
): LayerSet[] {
  const { season, result } = run;
  const names = fieldFolders(result.points.map(({ field }) => field));
  const fields = new Map(wanted.places.map((place) => [place, layerField(season, result, place)]));
  const stem = folderNameFrom(season.name);
  return wanted.kinds.flatMap((kind): LayerSet[] => {
    const made: { readonly layer: ExportLayer; readonly name: string }[] = [];
    for (const [place, field] of fields) {
      const layer = layerOf(kind, field, run, choice, wanted.surfaces.get(place));
      if (layer !== undefined) made.push({ layer, name: names[place] });
    }
    if (made.length === 0) return [];
    if (choice.files === 'each')
      return made.map(({ layer, name }) => ({ stem: `${name}-${kind}`, kind, layers: [layer] }));
    return [
      {
        stem: `${stem}-${kind}`,
        kind,
        layers: made.map(({ layer }) => layer),
        field_stems: made.map(({ name }) => `${stem}-${kind}-${name}`),
      },
    ];
  });
}

/** Nothing for a field without a surface where the layer is made of one. */
function layerOf(
  kind: LayerKind,
  field: LayerField,
  { season, result }: SeasonRun,
  choice: LayerExportChoice,
  made: MadeSurface | undefined,
): ExportLayer | undefined {
  if (kind === 'points') return pointLayer(field, result, choice);
  if (kind === 'swaths') return swathLayer(field, result, choice);
  if (made === undefined) return undefined;
  const { surface, zones } = made;
  if (kind === 'cells') {
    const yields = surface.cells.yield_kg_m2.filter(Number.isFinite);
    return withMargin(cellLayer(field, surface, choice.units), yields, season, result, choice.units);
  }
  const means = Float64Array.from(zones.zones, ({ mean_yield_kg_m2 }) => mean_yield_kg_m2);
  return withMargin(zoneLayer(field, zones, choice.units), means, season, result, choice.units);
}
