/** Where an image lies: the tags of GeoTIFF 1.1 [OGC 19-008r4] for a field's own plane. */
import type { LayerRaster } from '../layers/layer.ts';
import type { TiffTag } from './geotiff-tiff.ts';

const KEYS = {
  GTModelType: 1024,
  GTRasterType: 1025,
  GTCitation: 1026,
  GeodeticCRS: 2048,
  GeogAngularUnits: 2054,
  ProjectedCRS: 3072,
  ProjectedCitation: 3073,
  Projection: 3074,
  ProjMethod: 3075,
  ProjLinearUnits: 3076,
  ProjNatOriginLong: 3080,
  ProjNatOriginLat: 3081,
  ProjFalseEasting: 3082,
  ProjFalseNorthing: 3083,
  ProjScaleAtNatOrigin: 3092,
} as const;

const PROJECTED = 1;
const PIXEL_IS_AREA = 1;
const USER_DEFINED = 32_767;
const WGS84 = 4326;
const DEGREE = 9102;
const METRE = 9001;
const TRANSVERSE_MERCATOR = 1;
const DOUBLE_PARAMS = 34_736;
const ASCII_PARAMS = 34_737;
const CITATION = 'Plane of the field: transverse Mercator of scale 1 about its origin, WGS 84';

/** Pixel size, the corner that pixel 0, 0 begins at, and the plane. */
export function geoTags({ grid, longitude0_deg, latitude0_deg }: LayerRaster): TiffTag[] {
  const north_m = grid.south_m + grid.rows * grid.cell_m;
  const doubles = [longitude0_deg, latitude0_deg, 0, 0, 1];
  const citation = `${CITATION}|`;
  const entries: number[][] = [
    [KEYS.GTModelType, 0, 1, PROJECTED],
    [KEYS.GTRasterType, 0, 1, PIXEL_IS_AREA],
    [KEYS.GTCitation, ASCII_PARAMS, citation.length, 0],
    [KEYS.GeodeticCRS, 0, 1, WGS84],
    [KEYS.GeogAngularUnits, 0, 1, DEGREE],
    [KEYS.ProjectedCRS, 0, 1, USER_DEFINED],
    [KEYS.ProjectedCitation, ASCII_PARAMS, citation.length, 0],
    [KEYS.Projection, 0, 1, USER_DEFINED],
    [KEYS.ProjMethod, 0, 1, TRANSVERSE_MERCATOR],
    [KEYS.ProjLinearUnits, 0, 1, METRE],
    [KEYS.ProjNatOriginLong, DOUBLE_PARAMS, 1, 0],
    [KEYS.ProjNatOriginLat, DOUBLE_PARAMS, 1, 1],
    [KEYS.ProjFalseEasting, DOUBLE_PARAMS, 1, 2],
    [KEYS.ProjFalseNorthing, DOUBLE_PARAMS, 1, 3],
    [KEYS.ProjScaleAtNatOrigin, DOUBLE_PARAMS, 1, 4],
  ];
  return [
    { tag: 33_550, kind: 'double', numbers: [grid.cell_m, grid.cell_m, 0] },
    { tag: 33_922, kind: 'double', numbers: [0, 0, 0, grid.west_m, north_m, 0] },
    // version 1 of the directory, revision 1.1 of the keys
    { tag: 34_735, kind: 'short', numbers: [1, 1, 1, entries.length, ...entries.flat()] },
    { tag: DOUBLE_PARAMS, kind: 'double', numbers: doubles },
    { tag: ASCII_PARAMS, kind: 'ascii', text: citation },
  ];
}
