/** Yield zones of a field as a layer: its classes as polygons that cover the surface without gap or overlap. */
import type { YieldZones } from '../../surface/field-zones.ts';
import { zoneArea_m2 } from '../../surface/zones.ts';
import type { ExportLayer } from './layer.ts';
import type { LayerUnits } from './layer-choice.ts';
import { closedRing, type LayerField, layerHead, nameColumns } from './layer-field.ts';
import { quantityColumn, yieldColumns } from './measured-columns.ts';

/** Areas are those on the ellipsoid. Throws RangeError for a field without a position, which has no zones. */
export function zoneLayer(
  field: LayerField,
  { zones, limits_kg_m2 }: YieldZones,
  units: LayerUnits,
): ExportLayer {
  const { frame, bushel_kg } = field;
  if (frame === undefined) throw new RangeError(`field "${field.points.field}" has zones but no position`);
  const real = (of: (zone: (typeof zones)[number]) => number) => Float64Array.from(zones, of);
  const limit = (k: number) => limits_kg_m2[k] ?? Number.NaN;
  return {
    kind: 'zones',
    ...layerHead(field),
    rows: zones.length,
    geometry: {
      kind: 'polygon',
      rings: (row) => zones[row].rings.map((ring) => closedRing(frame, ring)),
    },
    columns: [
      ...nameColumns(field, zones.length),
      ...yieldColumns(
        real((zone) => zone.mean_yield_kg_m2),
        bushel_kg,
        units,
        {
          name: 'yield',
          short_name: 'yld',
          about: "Mean yield of the zone at the field's standard moisture.",
        },
      ),
      {
        kind: 'whole',
        name: 'class',
        short_name: 'class',
        about: 'Class of the yield, 1 the lowest.',
        digits: 0,
        numbers: real((zone) => zone.class + 1),
      },
      ...yieldColumns(
        real((zone) => limit(zone.class - 1)),
        bushel_kg,
        units,
        { name: 'class_from', short_name: 'from', about: 'Yields of the class begin here.' },
      ),
      ...yieldColumns(
        real((zone) => limit(zone.class)),
        bushel_kg,
        units,
        { name: 'class_below', short_name: 'less', about: 'Yields of the class stay below this.' },
      ),
      quantityColumn(
        'zone_area',
        units,
        real((zone) => zoneArea_m2(zone, frame)),
        'Area on the ellipsoid.',
      ),
    ],
  };
}
