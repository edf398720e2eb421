/** The moment of a row of a mapped table. */
import type { ColumnPlan, MappingPlan } from './column-mapping.ts';
import { type DateOrder, daysFromDateText, secondsFromClockText } from './date-text.ts';
import { numberFromCell } from './delimited.ts';
import { momentOrNone, S_PER_DAY, SERIAL_DAY_ZERO, timeFromIso } from './utc.ts';

/** Unix seconds from the `time` column, else from `date` and `clock_time`; NaN when they cannot be read or meant. */
export function rowTime(cells: readonly string[], plan: MappingPlan, decimal: '.' | ','): number {
  const time = plan.columns.get('time');
  if (time) return momentOrNone(momentFromCell(cells[time.index] ?? '', time.word, plan.offset_s, decimal));
  const date = plan.columns.get('date') as ColumnPlan;
  const clock = plan.columns.get('clock_time') as ColumnPlan;
  const days = daysFromCell(cells[date.index] ?? '', date.word, decimal);
  const clock_s = clockFromCell(cells[clock.index] ?? '', clock.word, decimal);
  return momentOrNone(days * S_PER_DAY + clock_s - plan.offset_s);
}

function momentFromCell(cell: string, word: string, offset_s: number, decimal: '.' | ','): number {
  switch (word) {
    case 'iso': {
      const written = timeFromIso(cell);
      if (!written) return Number.NaN;
      return written.zoned ? written.utc_s : written.utc_s - offset_s;
    }
    case 'unix_s':
      return numberFromCell(cell, decimal);
    case 'unix_ms':
      return numberFromCell(cell, decimal) / 1000;
    case 'days_1899_12_30':
      return (numberFromCell(cell, decimal) + SERIAL_DAY_ZERO) * S_PER_DAY - offset_s;
    default: {
      const blank = cell.indexOf(' ');
      if (blank < 0) return Number.NaN;
      const days = daysFromDateText(cell.slice(0, blank), word as DateOrder);
      return days * S_PER_DAY + secondsFromClockText(cell.slice(blank).trim()) - offset_s;
    }
  }
}

function daysFromCell(cell: string, word: string, decimal: '.' | ','): number {
  if (word === 'days_1899_12_30') return Math.floor(numberFromCell(cell, decimal)) + SERIAL_DAY_ZERO;
  return daysFromDateText(cell, word === 'iso' ? 'ymd' : (word as DateOrder));
}

function clockFromCell(cell: string, word: string, decimal: '.' | ','): number {
  switch (word) {
    case 's':
      return numberFromCell(cell, decimal);
    case 'ms':
      return numberFromCell(cell, decimal) / 1000;
    case 'day_fraction':
      return (numberFromCell(cell, decimal) % 1) * S_PER_DAY;
    default:
      return secondsFromClockText(cell);
  }
}
