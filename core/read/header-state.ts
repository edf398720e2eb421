/** The header switch as loggers and tables write it. */

/** `H,0` and a tally log's `header` of 0 say that the header is up, `1` that it is down (cutting). */
export const HEADER_UP_CODE = 0;

/**
 * 1 up, 0 down, NaN unknown. `word`: `1_down` (1 is down, as in the tick log) or `1_up`; the words up, raised, down and lowered always serve.
 */
export function headerStateFromCell(cell: string, word: string): number {
  const text = cell.toLowerCase();
  if (text === 'up' || text === 'raised') return 1;
  if (text === 'down' || text === 'lowered') return 0;
  const code = text === '' ? Number.NaN : Number(text);
  if (code !== 0 && code !== 1) return Number.NaN;
  return word === '1_up' ? code : 1 - code;
}
