/** The map's own ground: land and borders of the world for whoever zooms out, nothing that needs a network. */
import type { GeoJSONSource, Map as MapLibreMap, StyleSpecification } from 'maplibre-gl';
import { feature, mesh } from 'topojson-client';
import { hexFromRgb } from './ramps.ts';
import type { ThemeColours } from './theme-colours.ts';
import { mixed } from './theme-colours.ts';
import type { LonLatRing } from './types.ts';

/** Coasts of this atlas are right to a few kilometres: they fade before anyone could take them for a field's edge. */
const LAND_FADES = { from: 7, to: 10 };

const NOTHING: GeoJSON.FeatureCollection = { type: 'FeatureCollection', features: [] };

export function baseStyle(colours: ThemeColours): StyleSpecification {
  const paint = paints(colours);
  return {
    version: 8,
    sources: {
      land: { type: 'geojson', data: NOTHING, maxzoom: 8 },
      borders: { type: 'geojson', data: NOTHING, maxzoom: 8 },
      graticule: { type: 'geojson', data: graticule(), maxzoom: 6 },
      outline: { type: 'geojson', data: NOTHING, maxzoom: 20, tolerance: 0.1 },
    },
    layers: [
      { id: 'ground', type: 'background', paint: paint.ground },
      { id: 'land', type: 'fill', source: 'land', maxzoom: LAND_FADES.to, paint: paint.land },
      { id: 'graticule', type: 'line', source: 'graticule', maxzoom: LAND_FADES.to, paint: paint.graticule },
      { id: 'borders', type: 'line', source: 'borders', maxzoom: LAND_FADES.to, paint: paint.borders },
      { id: 'outline', type: 'line', source: 'outline', paint: paint.outline },
    ],
  };
}

/** Colours anew, after a change of theme. */
export function paintBase(map: MapLibreMap, colours: ThemeColours): void {
  for (const [layer, properties] of Object.entries(paints(colours))) {
    for (const [name, setting] of Object.entries(properties))
      map.setPaintProperty(layer, name as 'line-color', setting as string);
  }
}

/** Loads coasts and borders once the field is on the screen; they are of no hurry. */
export async function showLand(map: MapLibreMap): Promise<void> {
  const { default: atlas } = await import('world-atlas/countries-110m.json');
  const topology = atlas as unknown as Parameters<typeof feature>[0];
  const { land, countries } = topology.objects;
  const inland = mesh(topology, countries as Parameters<typeof mesh>[1], (a, b) => a !== b);
  map.getSource<GeoJSONSource>('land')?.setData(feature(topology, land));
  map.getSource<GeoJSONSource>('borders')?.setData(inland);
}

export function showOutline(map: MapLibreMap, rings: readonly LonLatRing[]): void {
  map.getSource<GeoJSONSource>('outline')?.setData({
    type: 'MultiLineString',
    coordinates: rings.map((ring) =>
      [...ring, ring[0]].map(([longitude, latitude]) => [longitude, latitude]),
    ),
  });
}

function paints(colours: ThemeColours) {
  const fading = (most: number) => [
    'interpolate',
    ['linear'],
    ['zoom'],
    LAND_FADES.from,
    most,
    LAND_FADES.to,
    0,
  ];
  const hex = (from: keyof ThemeColours, to: keyof ThemeColours, share: number) =>
    hexFromRgb(mixed(colours[from], colours[to], share));
  return {
    ground: { 'background-color': hexFromRgb(colours.panel) },
    land: {
      'fill-color': hex('panel', 'raised', 0.9),
      'fill-opacity': fading(1) as never,
      'fill-antialias': true,
    },
    graticule: {
      'line-color': hexFromRgb(colours.hair),
      'line-width': 0.6,
      'line-opacity': fading(0.7) as never,
    },
    borders: {
      'line-color': hex('hair', 'edge', 0.4),
      'line-width': 0.8,
      'line-opacity': fading(1) as never,
    },
    outline: { 'line-color': hexFromRgb(colours.ink), 'line-width': 1.4, 'line-opacity': 0.8 },
  };
}

/** Every tenth degree of longitude and latitude. */
function graticule(): GeoJSON.MultiLineString {
  const lines: [number, number][][] = [];
  const along = (from: number, to: number) =>
    Array.from({ length: (to - from) / 5 + 1 }, (_, i) => from + 5 * i);
  for (let longitude = -180; longitude <= 180; longitude += 10)
    lines.push(along(-85, 85).map((latitude) => [longitude, latitude]));
  for (let latitude = -80; latitude <= 80; latitude += 10)
    lines.push(along(-180, 180).map((longitude) => [longitude, latitude]));
  return { type: 'MultiLineString', coordinates: lines };
}
