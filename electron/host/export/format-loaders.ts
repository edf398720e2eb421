/** Where the code of each export format is, loaded when it is first asked for: some bring large libraries with them. */
import type { ExportFormat } from '../../../core/export/formats/format.ts';
import type { FormatName } from '../../../core/export/formats/format-list.ts';

type Loader = () => Promise<ExportFormat>;

/** A format of `FORMATS` that has no line here is refused as not in this build. */
const LOADERS: Readonly<Partial<Record<FormatName, Loader>>> = {
  geojson: async () => (await import('../../../core/export/formats/geojson.ts')).GEOJSON,
  csv: async () => (await import('../../../core/export/formats/csv.ts')).CSV,
  shapefile: async () => (await import('../../../core/export/formats/shapefile.ts')).SHAPEFILE,
  geotiff: async () => (await import('../../../core/export/formats/geotiff.ts')).GEOTIFF,
  geoparquet: async () => (await import('./geoparquet.ts')).geoParquet,
  geopackage: async () => (await import('./geopackage.ts')).geoPackage,
  kml: async () => (await import('./kml.ts')).kml,
  png: async () => (await import('./png-map.ts')).pngMap,
  isoxml: async () => (await import('../../../core/export/formats/task-data/task-data.ts')).TASK_DATA,
};

/** The format; nothing where this build has none of that name. */
export async function loadFormat(name: FormatName): Promise<ExportFormat | undefined> {
  return LOADERS[name]?.();
}
