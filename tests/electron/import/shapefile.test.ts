/**
 * Shapefiles as field boundaries. UTM positions and their longitudes and latitudes: tests/reference/geodesy.json (PROJ through
 * pyproj; versions there).
 */
import { readFileSync } from 'node:fs';
import { zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { readFieldOutlines } from '../../../core/import/field-outlines.ts';
import { geojsonFromShapefile, shapefileInZip } from '../../../electron/host/shapefile.ts';
import { dbfBytes, type MadeShape, shpBytes, WGS84_PRJ, zippedShapefile } from './made-shapefile.ts';

interface UtmPosition {
  readonly lat: number;
  readonly lon: number;
  readonly zone: number;
  readonly hemisphere: string;
  readonly easting: number;
  readonly northing: number;
}

const { utm }: { utm: UtmPosition[] } = JSON.parse(
  readFileSync(new URL('../../reference/geodesy.json', import.meta.url), 'utf8'),
);

type Corner = readonly [number, number];

/** A clockwise square of `side` from its south-west corner. */
function square([x, y]: Corner, side: number): MadeShape['rings'][number] {
  return [
    [x, y],
    [x, y + side],
    [x + side, y + side],
    [x + side, y],
    [x, y],
  ];
}

const HOME: MadeShape = {
  rings: [square([-94, 42], 0.01), [...square([-93.996, 42.004], 0.002)].reverse()],
  attributes: { NAME: 'Home', CROP: 'corn' },
};
const AWAY: MadeShape = { rings: [square([-94.1, 42], 0.01)], attributes: { NAME: 'Süd', CROP: '' } };

const utmPrj = (zone: number, south: boolean) =>
  `PROJCS["WGS_1984_UTM_Zone_${zone}${south ? 'S' : 'N'}",${WGS84_PRJ},PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",500000.0],PARAMETER["False_Northing",${south ? '10000000.0' : '0.0'}],PARAMETER["Central_Meridian",${6 * zone - 183}.0],PARAMETER["Scale_Factor",0.9996],PARAMETER["Latitude_Of_Origin",0.0],UNIT["Meter",1.0]]`;

async function outlinesOf(zip: Uint8Array) {
  const zipped = await shapefileInZip(zip, 'fields.zip');
  if (!zipped.ok) return zipped.error;
  const geojson = await geojsonFromShapefile(zipped.value.parts, 'fields.zip');
  if (!geojson.ok) return geojson.error;
  const read = readFieldOutlines(geojson.value, 'fields.zip');
  return read.ok ? read.value.outlines : read.error;
}

describe('a zipped Shapefile', () => {
  it('gives its polygons with holes, names and crops', async () => {
    const outlines = await outlinesOf(zippedShapefile([HOME, AWAY]));
    if (!Array.isArray(outlines)) throw new Error(JSON.stringify(outlines));
    expect(outlines.map(({ name, crop }) => [name, crop])).toEqual([
      ['Home', 'corn'],
      ['Süd', undefined],
    ]);
    const [outer, hole] = outlines[0].boundary.polygons[0];
    expect(Array.from(outer)).toEqual([-94, 42, -94, 42.01, -93.99, 42.01, -93.99, 42, -94, 42]);
    expect(hole).toHaveLength(10);
  });

  it('takes degrees without a .prj for what they are', async () => {
    expect(Array.isArray(await outlinesOf(zippedShapefile([HOME], '')))).toBe(true);
  });

  it.each(utm.filter(({ lat }) => Math.abs(lat) > 1))(
    'in UTM zone $zone$hemisphere is turned back to $lon, $lat',
    async ({ lat, lon, zone, hemisphere, easting, northing }) => {
      const shape = { rings: [square([easting, northing], 200)], attributes: { NAME: 'Home' } };
      const outlines = await outlinesOf(zippedShapefile([shape], utmPrj(zone, hemisphere === 'S')));
      if (!Array.isArray(outlines)) throw new Error(JSON.stringify(outlines));
      const [ring] = outlines[0].boundary.polygons[0];
      expect(ring[0]).toBeCloseTo(lon, 8);
      expect(ring[1]).toBeCloseTo(lat, 8);
    },
  );

  it.each([
    [
      'metres and no .prj',
      zippedShapefile([{ ...HOME, rings: [square([421_722, 4_863_916], 200)] }], ''),
      'no .prj that says which grid',
    ],
    [
      'a .prj in no known words',
      zippedShapefile([HOME], 'LOCAL_CS["somewhere"]'),
      'projection that its .prj does not say',
    ],
    [
      'coordinates outside the grid of its .prj',
      zippedShapefile([{ ...HOME, rings: [square([9e9, 9e9], 10)] }], utmPrj(15, false)),
      'outside the grid',
    ],
    ['no Shapefile', zipSync({ 'a.log': new Uint8Array(9) }), 'without a Shapefile in it (found: a.log)'],
    [
      'two Shapefiles',
      zipSync({ 'a.shp': shpBytes([HOME]), 'b.shp': shpBytes([HOME]) }),
      'holds 2 Shapefiles',
    ],
    ['a zip cut off', zippedShapefile([HOME]).slice(0, 300), 'damaged or cut off'],
    ['a .shp cut off', zipSync({ 'a.shp': shpBytes([HOME]).slice(0, 150) }), 'cannot be read'],
    ['something else called .shp', zipSync({ 'a.shp': new Uint8Array(500).fill(65) }), 'is no Shapefile'],
    ['a path that leads out', zipSync({ '../../etc/a.shp': shpBytes([HOME]) }), 'damaged or cut off'],
  ])('with %s is refused with a sentence', async (_, zip, words) => {
    const refused = await outlinesOf(zip);
    expect(refused).toMatchObject({ text: expect.stringContaining(words) });
  });

  it('that would fill the memory is not unpacked', async () => {
    const zip = zipSync({ 'a.shp': shpBytes([HOME]), 'a.dbf': new Uint8Array(80 << 20) });
    expect(zip.length).toBeLessThan(1 << 20);
    expect(await outlinesOf(zip)).toMatchObject({ code: 'zip_bomb' });
    const many = Object.fromEntries(Array.from({ length: 5100 }, (_, k) => [`${k}.txt`, new Uint8Array()]));
    expect(await outlinesOf(zipSync(many))).toMatchObject({ code: 'zip_bomb' });
  });

  it('that lies about its sizes is not believed', async () => {
    const zip = zipSync({ 'a.shp': shpBytes([HOME]), 'a.dbf': dbfBytes([HOME]) });
    // the uncompressed sizes in the central directory [PKWARE APPNOTE 4.3.12: 24 bytes behind the signature]
    for (let at = 0; at + 46 < zip.length; at++) {
      if (zip[at] === 0x50 && zip[at + 1] === 0x4b && zip[at + 2] === 1 && zip[at + 3] === 2)
        zip[at + 24] -= 4;
    }
    expect(await outlinesOf(zip)).toMatchObject({ code: 'zip_damaged' });
  });
});
