/** How a table is known again: the names of its columns, in order, with what parts them. */
import type { DelimitedTable } from '../read/delimited.ts';
import type { ColumnMappingSheet } from '../season.ts';
import { shownText } from '../shown-text.ts';

/** `lon|lat|flow`: trimmed, small letters, a long one cut with its checksum; `6 columns` where no line names them. */
export function fingerprintOf(table: Pick<DelimitedTable, 'header' | 'headerLine'>): string {
  if (table.headerLine === 0) return `${table.header.length} columns`;
  const names = table.header.map((name) => name.trim().toLowerCase().replaceAll('|', '/')).join('|');
  const shown = shownText(names, names.length);
  if (shown === names && names.length <= LONGEST) return names;
  return `${shown.slice(0, KEPT)}… ${table.header.length} columns ${checksum(names)}`;
}

/** Longer texts a sheet does not take. */
const LONGEST = 300;
const KEPT = 200;

/** FNV-1a, 32 bits, hexadecimal [Fowler, Noll, Vo]: tells long headers apart. */
function checksum(text: string): string {
  let sum = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) sum = Math.imul(sum ^ text.charCodeAt(i), 0x01000193);
  return (sum >>> 0).toString(16).padStart(8, '0');
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
