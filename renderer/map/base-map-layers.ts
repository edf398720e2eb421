/** The user's own map under the field: pictures, or outlines in quiet ink where the archive holds vectors. */
import { addProtocol, type Map as MapLibreMap } from 'maplibre-gl';
import { PMTiles, Protocol, TileType } from 'pmtiles';
import type { BaseMapChoice } from '../../core/base-map.ts';
import { pathTo } from '../../core/host-contract.ts';
import { hexFromRgb } from './ramps.ts';
import { mixed, type ThemeColours } from './theme-colours.ts';

const SOURCE = 'base-map';
const TILE_PX = 256;
/** Pictures step back behind the field. */
const OPACITY = 0.75;

let protocol: Protocol | undefined;

/** Shows `choice` below the layer named `below`, and nothing where it is null; whom the map is owed to. */
export async function showBaseMap(
  map: MapLibreMap,
  choice: BaseMapChoice | null,
  colours: ThemeColours,
  below: string,
): Promise<string> {
  hideBaseMap(map);
  if (choice === null) return '';
  if (choice.kind === 'address') {
    map.addSource(SOURCE, { type: 'raster', tiles: [choice.at.trim()], tileSize: TILE_PX });
    addPictures(map, below);
    return choice.attribution;
  }
  const archive = archiveOf();
  const { tileType, minZoom, maxZoom } = await archive.getHeader();
  const about = (await archive.getMetadata()) as ArchiveMetadata;
  hideBaseMap(map);
  const url = `pmtiles://${archive.source.getKey()}`;
  if (tileType === TileType.Mvt) {
    map.addSource(SOURCE, { type: 'vector', url, minzoom: minZoom, maxzoom: maxZoom });
    addOutlines(
      map,
      (about.vector_layers ?? []).map(({ id }) => id),
      colours,
      below,
    );
  } else {
    map.addSource(SOURCE, { type: 'raster', url, tileSize: TILE_PX, minzoom: minZoom, maxzoom: maxZoom });
    addPictures(map, below);
  }
  return choice.attribution || plainText(about.attribution ?? '');
}

/** What an archive says of itself, as far as it is used here [PMTiles version 3 specification, section 5]. */
interface ArchiveMetadata {
  readonly attribution?: string;
  readonly vector_layers?: readonly { readonly id: string }[];
}

/** The archive that the host serves, read anew: another file may have been chosen. */
function archiveOf(): PMTiles {
  if (!protocol) {
    protocol = new Protocol();
    addProtocol('pmtiles', protocol.tile);
  }
  const archive = new PMTiles(new URL(`${pathTo('readTiles')}?at=${Date.now()}`, location.href).href);
  protocol.add(archive);
  return archive;
}

function hideBaseMap(map: MapLibreMap): void {
  for (const { id } of map.getStyle().layers) if (id.startsWith(SOURCE)) map.removeLayer(id);
  if (map.getSource(SOURCE)) map.removeSource(SOURCE);
}

function addPictures(map: MapLibreMap, below: string): void {
  map.addLayer({ id: SOURCE, type: 'raster', source: SOURCE, paint: { 'raster-opacity': OPACITY } }, below);
}

function addOutlines(
  map: MapLibreMap,
  layers: readonly string[],
  colours: ThemeColours,
  below: string,
): void {
  const fill = hexFromRgb(mixed(colours.panel, colours.edge, 0.3));
  const line = hexFromRgb(mixed(colours.panel, colours.edge, 0.7));
  for (const layer of layers) {
    const common = { source: SOURCE, 'source-layer': layer } as const;
    map.addLayer(
      {
        ...common,
        id: `${SOURCE}-fill-${layer}`,
        type: 'fill',
        filter: ['==', ['geometry-type'], 'Polygon'],
        paint: { 'fill-color': fill, 'fill-opacity': 0.35 },
      },
      below,
    );
    map.addLayer(
      {
        ...common,
        id: `${SOURCE}-line-${layer}`,
        type: 'line',
        paint: { 'line-color': line, 'line-width': 0.8 },
      },
      below,
    );
  }
}

/** Attributions come as HTML; here they are words. */
function plainText(html: string): string {
  return new DOMParser().parseFromString(html, 'text/html').body.textContent ?? '';
}
