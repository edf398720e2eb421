/** The formats that layers can be exported to: one list of names for command, window and host. */
import type { LayerKind } from '../layers/layer.ts';

/** Names as on the command line and in the contract, in the order in which they are offered. */
export const FORMAT_NAMES = [
  'geojson',
  'csv',
  'shapefile',
  'geotiff',
  'geoparquet',
  'geopackage',
  'kml',
  'isoxml',
  'png',
] as const;

export type FormatName = (typeof FORMAT_NAMES)[number];

/** What people are told of a format before they choose it. */
export interface FormatAbout {
  readonly title: string;
  /** What it is good for, as part of a sentence. */
  readonly good_for: string;
  /** Layers that it can hold; the others are left out of it. */
  readonly kinds: readonly LayerKind[];
  /** `inside`: the file tells of its own making; `beside`: it has no place for that, and a text file stands beside it. */
  readonly provenance: 'inside' | 'beside';
  /** `metric`: it fixes its own units, and gets metric layers whatever was chosen. */
  readonly units?: 'metric';
}

/** In the order in which they are offered. */
export const FORMATS: Readonly<Record<FormatName, FormatAbout>> = {
  geojson: {
    title: 'GeoJSON',
    good_for: 'any GIS and web maps',
    kinds: ['points', 'swaths', 'cells', 'zones'],
    provenance: 'inside',
  },
  csv: {
    title: 'CSV',
    good_for: 'spreadsheets and statistics programs',
    kinds: ['points', 'swaths', 'cells', 'zones'],
    provenance: 'beside',
  },
  shapefile: {
    title: 'Shapefile',
    good_for: 'farm programs and older GIS',
    kinds: ['points', 'swaths', 'cells', 'zones'],
    provenance: 'beside',
  },
  geotiff: {
    title: 'GeoTIFF, cloud-optimised',
    good_for: 'the surface as a raster, yield and standard error',
    kinds: ['cells'],
    provenance: 'inside',
  },
  geoparquet: {
    title: 'GeoParquet',
    good_for: 'queries over thousands of fields',
    kinds: ['points', 'swaths', 'cells', 'zones'],
    provenance: 'inside',
  },
  geopackage: {
    title: 'GeoPackage',
    good_for: 'GIS, all layers in one file',
    kinds: ['points', 'swaths', 'cells', 'zones'],
    provenance: 'inside',
  },
  kml: {
    title: 'KML',
    good_for: 'looking at it on a globe',
    kinds: ['points', 'swaths', 'cells', 'zones'],
    provenance: 'inside',
  },
  isoxml: {
    title: 'ISO 11783-10 task data',
    good_for: 'farm management programs that take what a terminal records',
    kinds: ['points'],
    provenance: 'beside',
    units: 'metric',
  },
  png: {
    title: 'PNG map',
    good_for: 'a picture to send',
    kinds: ['points', 'swaths', 'cells', 'zones'],
    provenance: 'beside',
  },
};
