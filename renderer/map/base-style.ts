/**
 * The map's own ground: land and borders of the world for whoever zooms out, nothing that needs a network. A field fills
 * the screen nearly always, and then none of this exists: it is added the first time that someone has zoomed out.
 */
import type { GeoJSONSource, Map as MapLibreMap, StyleSpecification } from 'maplibre-gl';
import { feature, mesh } from 'topojson-client';
import { hexFromRgb } from './ramps.ts';
import { mixed, type ThemeColours } from './theme-colours.ts';

/** Coasts of this atlas are right to a few kilometres: they fade before anyone could take them for a field's edge. */
export const LAND_FADES = { from: 7, to: 10 };

/** Nothing: the page's own colour shows through. */
export const EMPTY_STYLE: StyleSpecification = { version: 8, sources: {}, layers: [] };

/** Adds coasts, borders and graticule below the layer named `below`. */
export async function addLand(map: MapLibreMap, colours: ThemeColours, below: string): Promise<void> {
  const { default: atlas } = await import('world-atlas/countries-110m.json');
  const topology = atlas as unknown as Parameters<typeof feature>[0];
  const { land, countries } = topology.objects;
  const inland = mesh(topology, countries as Parameters<typeof mesh>[1], (a, b) => a !== b);
  if (map.getSource<GeoJSONSource>('land') || !map.getLayer(below)) return;
  const paint = paints(colours);
  map.addSource('land', { type: 'geojson', data: feature(topology, land), maxzoom: 8 });
  map.addSource('borders', { type: 'geojson', data: inland, maxzoom: 8 });
  map.addSource('graticule', { type: 'geojson', data: graticule(), maxzoom: 6 });
  const maxzoom = LAND_FADES.to;
  map.addLayer({ id: 'land', type: 'fill', source: 'land', maxzoom, paint: paint.land }, below);
  map.addLayer(
    { id: 'graticule', type: 'line', source: 'graticule', maxzoom, paint: paint.graticule },
    below,
  );
  map.addLayer({ id: 'borders', type: 'line', source: 'borders', maxzoom, paint: paint.borders }, below);
}

/** Colours anew, after a change of theme. */
export function paintLand(map: MapLibreMap, colours: ThemeColours): void {
  for (const [layer, properties] of Object.entries(paints(colours))) {
    if (!map.getLayer(layer)) continue;
    for (const [name, setting] of Object.entries(properties))
      map.setPaintProperty(layer, name as 'line-color', setting as string);
  }
}

function paints(colours: ThemeColours) {
  const fading = (most: number) =>
    ['interpolate', ['linear'], ['zoom'], LAND_FADES.from, most, LAND_FADES.to, 0] as never;
  const hex = (from: keyof ThemeColours, to: keyof ThemeColours, share: number) =>
    hexFromRgb(mixed(colours[from], colours[to], share));
  return {
    land: { 'fill-color': hex('panel', 'raised', 0.9), 'fill-opacity': fading(1) },
    graticule: { 'line-color': hexFromRgb(colours.hair), 'line-width': 0.6, 'line-opacity': fading(0.7) },
    borders: { 'line-color': hex('hair', 'edge', 0.4), 'line-width': 0.8, 'line-opacity': fading(1) },
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
