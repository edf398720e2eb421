import { describe, expect, it } from 'vitest';
import { cellLayer } from '../../../../core/export/layers/cell-layer.ts';
import type { ExportLayer, LayerKind } from '../../../../core/export/layers/layer.ts';
import { layerField } from '../../../../core/export/layers/layer-field.ts';
import { geodesicPolygonArea } from '../../../../core/track/geodesic.ts';
import { localFrame } from '../../../../core/track/local-frame.ts';
import { makeResult, SEASON } from '../season-fixture.ts';
import { madeLayers, slope } from './made-layers.ts';

const result = makeResult();
const metric = madeLayers(result, 'metric');
const us = madeLayers(result, 'us');
const KINDS: readonly LayerKind[] = ['points', 'swaths', 'cells', 'zones'];

function numbers(layer: ExportLayer, name: string): Float64Array {
  const column = layer.columns.find((one) => one.name === name);
  if (column === undefined || column.kind === 'text') throw new Error(`no numbers ${name}`);
  return column.numbers;
}

function rings(layer: ExportLayer, row: number): readonly Float64Array[] {
  if (layer.geometry.kind !== 'polygon') throw new Error('no polygons');
  return layer.geometry.rings(row);
}

/** Positive counter-clockwise, m². */
function area_m2(ring: Float64Array): number {
  const open = ring.slice(0, -2);
  return geodesicPolygonArea(
    [...open].filter((_, at) => at % 2 === 0),
    [...open].filter((_, at) => at % 2 === 1),
  ).area_m2;
}

describe('columns of layers', () => {
  for (const [units, layers] of [
    ['metric', metric],
    ['us', us],
  ] as const) {
    it(`are the same for every field, as long as the layer, with short names that are names (${units})`, () => {
      for (const kind of KINDS) {
        const [home, upper] = layers[kind];
        const names = ({ columns }: ExportLayer) => columns.map(({ name, short_name }) => [name, short_name]);
        expect(names(upper)).toEqual(names(home));
        for (const layer of [home, upper])
          for (const column of layer.columns)
            expect((column.kind === 'text' ? column.codes : column.numbers).length).toBe(layer.rows);
        const short = home.columns.map(({ short_name }) => short_name);
        expect(new Set(short.map((name) => name.toLowerCase())).size).toBe(short.length);
        // of a Shapefile; `date_utc` is added by its table
        expect(short.filter((name) => !/^[a-z][a-z0-9_]{1,9}$/.test(name) || name === 'date_utc')).toEqual(
          [],
        );
      }
    });
  }

  it("of points are the contract's, and the crop", () => {
    const names = metric.points[0].columns.map(({ name }) => name).filter((name) => name !== 'crop');
    expect(names).toEqual(
      'time field machine pass load yield_t_ha yield_bu_ac yield_se_t_ha mass_flow_kg_s volume_flow_l_s moisture_pct speed_m_s heading_deg cut_width_m distance_m kept screened_by'.split(
        ' ',
      ),
    );
  });

  it('hold every quantity in the units of their names', () => {
    const row = 100;
    const of = (name: string) => numbers(us.points[0], name)[row];
    const si = (name: string) => numbers(metric.points[0], name)[row];
    // NIST Handbook 44, appendix C: exact pound, foot, mile and acre; 56 lb corn bushel
    expect(of('yield_lb_ac')).toBeCloseTo((si('yield_t_ha') * 1000 * 0.40468564224) / 0.45359237, 6);
    expect(of('yield_bu_ac')).toBeCloseTo(of('yield_lb_ac') / 56, 9);
    expect(of('mass_flow_lb_s')).toBeCloseTo(si('mass_flow_kg_s') / 0.45359237, 9);
    expect(of('volume_flow_ft3_s')).toBeCloseTo(si('volume_flow_l_s') / 28.316846592, 9);
    expect(of('speed_mph')).toBeCloseTo((si('speed_m_s') * 3600) / 1609.344, 9);
    expect(of('cut_width_ft')).toBeCloseTo(si('cut_width_m') / 0.3048, 9);
    expect(of('distance_ft')).toBeCloseTo(si('distance_m') / 0.3048, 9);
    expect(numbers(us.zones[0], 'area_ac')[0]).toBeCloseTo(
      (numbers(metric.zones[0], 'area_ha')[0] * 10_000) / 4046.8564224,
      9,
    );
    expect(numbers(us.swaths[0], 'area_ft2')[row]).toBeCloseTo(
      numbers(metric.swaths[0], 'area_m2')[row] / 0.09290304,
      9,
    );
  });

  it('have no bushels where the crop has none', () => {
    expect(numbers(us.points[1], 'yield_bu_ac').every(Number.isNaN)).toBe(true);
    expect(numbers(us.points[1], 'yield_lb_ac').some(Number.isFinite)).toBe(true);
  });

  it('tell of the field beside its rows', () => {
    expect(metric.cells[0].standard_moisture_pct).toBe(15.5);
    expect(metric.cells[0].boundary).toHaveLength(1);
    expect(metric.cells[1].boundary).toBeUndefined();
  });
});

describe('swaths', () => {
  it('are as large as what was cut, turn by the right hand and lie about their points', () => {
    const { cut_width_m, distance_m } = {
      cut_width_m: numbers(metric.swaths[0], 'cut_width_m'),
      distance_m: numbers(metric.swaths[0], 'distance_m'),
    };
    for (let row = 0; row < metric.swaths[0].rows; row += 37) {
      const [ring] = rings(metric.swaths[0], row);
      expect(area_m2(ring) / (cut_width_m[row] * distance_m[row])).toBeCloseTo(1, 5);
    }
  });

  it('are not there for points that cut nothing', () => {
    const all = madeLayers(result, 'metric', 'all');
    expect(all.swaths[0].rows).toBeLessThan(all.points[0].rows);
    expect(numbers(all.swaths[0], 'cut_width_m').every((width_m) => width_m > 0)).toBe(true);
  });
});

describe('cells and zones', () => {
  it('are squares of the grid where it says', () => {
    const { raster } = metric.cells[0];
    if (raster === undefined) throw new Error('cells without a grid');
    const frame = localFrame(raster.longitude0_deg, raster.latitude0_deg);
    const [ring] = rings(metric.cells[0], 17);
    const corner = frame.toPlane([ring[0]], [ring[1]]);
    const cell = raster.cells[17];
    expect(corner.east_m[0]).toBeCloseTo(-20 + 10 * (cell % 12), 6);
    expect(corner.north_m[0]).toBeCloseTo(40 + 10 * Math.floor(cell / 12), 6);
    expect(area_m2(ring)).toBeCloseTo(100, 3);
  });

  it('leave out cells without a yield', () => {
    const surface = slope(4, 4);
    surface.cells.yield_kg_m2[2] = Number.NaN;
    const layer = cellLayer(layerField(SEASON, result, 0), surface, 'metric');
    expect(layer.rows).toBe(surface.plan.cells.length - 1);
    expect([...(layer.raster?.cells ?? [])]).not.toContain(surface.plan.cells[2]);
  });

  it('of zones have areas that are those of their rings', () => {
    const areas_ha = numbers(metric.zones[0], 'area_ha');
    for (let row = 0; row < metric.zones[0].rows; row++) {
      const found_m2 = rings(metric.zones[0], row).reduce((sum, ring) => sum + area_m2(ring), 0);
      expect(found_m2 / 10_000).toBeCloseTo(areas_ha[row], 6);
    }
  });

  it('have limits that begin where those of the class below end', () => {
    const byClass = new Map<number, [number, number]>();
    const [classes, from, below] = ['class', 'class_from_t_ha', 'class_below_t_ha'].map((name) =>
      numbers(metric.zones[0], name),
    );
    classes.forEach((number, row) => {
      byClass.set(number, [from[row], below[row]]);
    });
    expect(Math.min(...byClass.keys())).toBe(1);
    for (const [number, [lower]] of byClass)
      if (number > 1) expect(byClass.get(number - 1)?.[1] ?? lower).toBe(lower);
  });
});
