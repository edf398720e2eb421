/** A field's mass multiplied by a factor for each machine: every point and what passed between them, the pattern unchanged. */
import type { ScreenedField } from '../yield/field-points.ts';

/** The field with the mass, flow, yield and its error of each machine multiplied by `factors[machine]` (1 where absent). */
export function rescaleField(field: ScreenedField, factors: ReadonlyMap<string, number>): ScreenedField {
  if (field.plots.every(({ machine }) => (factors.get(machine) ?? 1) === 1)) return field;
  const { points } = field;
  const factor = new Float64Array(points.t_s.length).fill(1);
  for (const { machine, rows } of field.plots)
    for (const row of rows) factor[row] = factors.get(machine) ?? 1;
  const times = (column: Float64Array) => column.map((element, i) => element * factor[i]);
  return {
    ...field,
    points: {
      ...points,
      mass_kg: times(points.mass_kg),
      mass_flow_kg_s: times(points.mass_flow_kg_s),
      yield_kg_m2: times(points.yield_kg_m2),
      yield_se_kg_m2: times(points.yield_se_kg_m2),
    },
    plots: field.plots.map((plot) => ({
      ...plot,
      remainder_kg: plot.remainder_kg * (factors.get(plot.machine) ?? 1),
    })),
  };
}
