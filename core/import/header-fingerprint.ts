/** How a table is known again: the names of its columns, in order, with what parts them. */
import type { DelimitedTable } from '../read/delimited.ts';
import type { ColumnMappingSheet } from '../season.ts';

/** `lon|lat|flow`: trimmed, small letters; `6 columns` where no line names them. */
export function fingerprintOf(table: Pick<DelimitedTable, 'header' | 'headerLine'>): string {
  if (table.headerLine === 0) return `${table.header.length} columns`;
  return table.header.map((name) => name.trim().toLowerCase().replaceAll('|', '/')).join('|');
}

/**
 * The mapping that was made for such a table: the one that remembers this very header, else one that names its columns by
 * heading and finds them all. The latest wins.
 */
export function rememberedMapping(
  mappings: readonly ColumnMappingSheet[],
  table: DelimitedTable,
): ColumnMappingSheet | undefined {
  const print = fingerprintOf(table);
  const unnamed = `${table.header.length} columns`;
  const exact = mappings.findLast(
    ({ header, has_header }) => header === (has_header === false ? unnamed : print),
  );
  if (exact !== undefined) return exact;
  const names = new Set(table.header.map((name) => name.trim().toLowerCase()));
  return mappings.findLast(
    ({ columns, has_header, header }) =>
      header === undefined &&
      has_header !== false &&
      columns.every(({ column }) => typeof column === 'string' && names.has(column.trim().toLowerCase())),
  );
}
