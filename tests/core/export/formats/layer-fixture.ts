/** Layers made by hand for the formats: two fields, one with a boundary and an island, one across the 180° meridian; everything that can be absent. */

import type { LayerSet, Provenance } from '../../../../core/export/formats/format.ts';
import type { ExportLayer, LayerColumn, LayerKind } from '../../../../core/export/layers/layer.ts';

export const PROVENANCE: Provenance = {
  generated_by: 'Sheaflight 9.9.9',
  season: 'Heron Bottom & <Sons> 2026',
  inputs: [{ path: 'logs/combine "1".log', sha256: 'ab'.repeat(32) }],
  settings: '{"units":"us"}',
  remarks: [
    'Home: yields at 15.5 % moisture -- as sold.',
    'Estimate only. Not a legal-for-trade weight. Settle on certified scale tickets.',
  ],
};

/** Noon of a day in October 2026, seconds since 1970. */
export const NOON_S = Date.UTC(2026, 9, 3, 12) / 1000;

export const FIELD_NAMES = { home: 'Home', fiji: 'O\'Brien "Süd"/Ост & <β> 北%=' } as const;

const AWAY_DEG = { home: [-95.5, 41.25], fiji: [179.99945, -16.5] } as const;

type FieldKey = keyof typeof FIELD_NAMES;

/** Points as the export makes them, ~11 m apart going east; every 7th number is absent, every 11th point has no place. */
export function pointLayer(key: FieldKey, rows: number): ExportLayer {
  const [west_deg, south_deg] = AWAY_DEG[key];
  const along = (row: number) => ((((west_deg + row * 1e-4 + 180) % 360) + 360) % 360) - 180;
  const real = (name: string, digits: number, number: (row: number) => number): LayerColumn => ({
    kind: 'real',
    name,
    short_name: name.slice(0, 10).toUpperCase(),
    about: `${name} & what it is`,
    digits,
    numbers: Float64Array.from({ length: rows }, (_, row) => (row % 7 === 6 ? Number.NaN : number(row))),
  });
  return {
    kind: 'points',
    field: FIELD_NAMES[key],
    crop: key === 'home' ? 'corn' : 'soybean "süß"',
    rows,
    standard_moisture_pct: key === 'home' ? 15.5 : 13,
    boundary: key === 'home' ? boundary(west_deg, south_deg) : undefined,
    geometry: {
      kind: 'point',
      longitude_deg: Float64Array.from({ length: rows }, (_, row) =>
        row % 11 === 10 ? Number.NaN : along(row),
      ),
      latitude_deg: Float64Array.from({ length: rows }, (_, row) => south_deg + row * 1e-6),
    },
    columns: [
      {
        ...real('time', 3, () => 0),
        kind: 'time',
        numbers: Float64Array.from({ length: rows }, (_, row) => NOON_S + row * 1.2),
      } as LayerColumn,
      words('machine', ['combine <1> & "co"', 'Mähdrescher 2'], rows, (row) => (row % 5 === 4 ? 1 : 0)),
      words('load', ['1045'], rows, (row) => (row % 3 === 2 ? -1 : 0)),
      { ...real('pass', 0, (row) => Math.floor(row / 4)), kind: 'whole' } as LayerColumn,
      real('yield_t_ha', 3, (row) => 9 + (row % 20) / 7),
      real('mass_flow_kg_s', 3, (row) => 8 + (row % 9) / 3),
      real('moisture_pct', 2, (row) => 17 + (row % 4) / 8),
      real('speed_m_s', 3, (row) => 1.5 + (row % 3) / 30),
      real('cut_width_m', 3, () => 9.144),
      real('distance_m', 3, () => 1.8),
      { ...real('kept', 0, (row) => (row % 13 === 12 ? 0 : 1)), kind: 'flag' } as LayerColumn,
    ],
  };
}

/** Squares with a hole, ~11 m wide; every 10th row has no ground. */
export function polygonLayer(key: FieldKey, rows: number, kind: LayerKind = 'cells'): ExportLayer {
  const [west_deg, south_deg] = AWAY_DEG[key];
  const turned = (longitude_deg: number) => ((((longitude_deg + 180) % 360) + 360) % 360) - 180;
  return {
    kind,
    field: FIELD_NAMES[key],
    crop: key === 'home' ? 'corn' : 'soybean "süß"',
    rows,
    geometry: {
      kind: 'polygon',
      rings: (row) => {
        if (row % 10 === 9) return [];
        const square = (from: number, to: number) => {
          const [west, east] = [turned(west_deg + (row + from) * 1e-4), turned(west_deg + (row + to) * 1e-4)];
          return [
            [west, south_deg + from * 1e-4],
            [east, south_deg + from * 1e-4],
            [east, south_deg + to * 1e-4],
            [west, south_deg + to * 1e-4],
            [west, south_deg + from * 1e-4],
          ];
        };
        return [square(0, 1).flat(), square(0.25, 0.75).reverse().flat()].map((ring) =>
          Float64Array.from(ring),
        );
      },
    },
    columns: [
      {
        kind: 'real',
        name: 'yield_t_ha',
        short_name: 'YLD_T_HA',
        about: 'Yield at standard moisture',
        digits: 3,
        numbers: Float64Array.from({ length: rows }, (_, row) => (row % 7 === 6 ? Number.NaN : 8 + row / 7)),
      },
      words('method', ['kriging'], rows, () => 0),
    ],
  };
}

export function pointSet(layers: readonly ExportLayer[], stem = 'points'): LayerSet {
  return { stem, kind: layers[0]?.kind ?? 'points', layers };
}

function words(
  name: string,
  list: readonly string[],
  rows: number,
  code: (row: number) => number,
): LayerColumn {
  const codes = Int32Array.from({ length: rows }, (_, row) => code(row));
  return { kind: 'text', name, short_name: name.toUpperCase(), about: `${name}, a word`, words: list, codes };
}

function boundary(west: number, south: number): Float64Array[] {
  const [east, north] = [west + 0.01, south + 0.001];
  return [
    Float64Array.from([west, south, east, south, east, north, west, north, west, south]),
    Float64Array.from([
      ...[west + 0.001, south + 0.0002, west + 0.001, south + 0.0004],
      ...[west + 0.002, south + 0.0004, west + 0.001, south + 0.0002],
    ]),
  ];
}

/** All bytes of a file that a format made. */
export async function bytesOf(
  pieces: Iterable<string | Uint8Array> | AsyncIterable<string | Uint8Array>,
): Promise<Buffer> {
  const parts: Buffer[] = [];
  for await (const piece of pieces) parts.push(Buffer.from(piece as Uint8Array));
  return Buffer.concat(parts);
}
