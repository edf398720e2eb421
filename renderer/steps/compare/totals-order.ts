/** The order of a table of totals: by any column, with what is on no ground and the total always last. */
import type { TotalsRow } from '../../../core/analysis/totals/group-totals.ts';

export type TotalsColumn = 'group' | 'area_ha' | 'mass_std_kg' | 'yield_t_ha' | 'moisture_pct';

export const TOTALS_COLUMNS: readonly (readonly [TotalsColumn, string])[] = [
  ['group', ''],
  ['area_ha', 'Ground'],
  ['mass_std_kg', 'Grain'],
  ['yield_t_ha', 'Yield'],
  ['moisture_pct', 'Moisture'],
];

export interface Sorting {
  readonly column: TotalsColumn;
  /** `up`: the least first. */
  readonly way: 'up' | 'down';
}

/** Rows as they come where nobody has sorted them; what has no number goes last either way. */
export function sortedRows(rows: readonly TotalsRow[], sorting: Sorting | null): readonly TotalsRow[] {
  if (sorting === null) return rows;
  const { column, way } = sorting;
  const sign = way === 'up' ? 1 : -1;
  const groups = rows.filter(({ kind }) => kind === 'group');
  groups.sort((a, b) => {
    if (column === 'group') return sign * a.group.localeCompare(b.group, undefined, { numeric: true });
    const [one, other] = [a[column], b[column]];
    if (one === null || other === null) return (one === null ? 1 : 0) - (other === null ? 1 : 0);
    return sign * (one - other);
  });
  return [...groups, ...rows.filter(({ kind }) => kind !== 'group')];
}
