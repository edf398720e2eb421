/** The points as a table: the map for who does not use a pointer. */
import { type KeyboardEvent, useMemo, useRef, useState } from 'react';
import { RULE_WORDS } from '../../core/export/report/rule-marks.ts';
import { SCREENING_RULES } from '../../core/result.ts';
import { decimal } from '../text/quantities.ts';
import { shownQuantity } from './quantities.ts';
import { amount, clockOf, yieldLine } from './readout.tsx';
import type { FieldMapProps, RowMask } from './types.ts';

const ROWS_A_PAGE = 50;

type Told = Pick<FieldMapProps, 'columns' | 'units' | 'bushel_kg' | 'machines' | 'loads' | 'epoch_utc_s'>;

interface PointTableProps extends Told {
  readonly selection: RowMask | null;
  readonly onRow: (row: number | null) => void;
  readonly onPass: (row: number, how: 'replace' | 'add') => void;
  readonly onClose: () => void;
}

/** Selected rows, or all, fifty a page; arrow keys go from row to row, Enter selects the row's pass. */
export function PointTable({ selection, onRow, onPass, onClose, ...told }: PointTableProps) {
  const [page, setPage] = useState(0);
  const body = useRef<HTMLTableSectionElement>(null);
  const rows = useMemo(() => rowsOf(told.columns.t_s.length, selection), [told.columns, selection]);
  const pages = Math.max(Math.ceil(rows.length / ROWS_A_PAGE), 1);
  const at = Math.min(page, pages - 1);
  const shown = Array.from(rows.subarray(at * ROWS_A_PAGE, (at + 1) * ROWS_A_PAGE));
  const press = (event: KeyboardEvent, row: number) => {
    if (event.key === 'Enter' || event.key === ' ') onPass(row, event.shiftKey ? 'add' : 'replace');
    else if (event.key === 'ArrowDown' || event.key === 'ArrowUp') {
      const from = event.currentTarget;
      const next = event.key === 'ArrowDown' ? from.nextElementSibling : from.previousElementSibling;
      if (next instanceof HTMLElement) next.focus();
    } else return;
    event.preventDefault();
  };
  const turn = (to: number) => {
    setPage(Math.min(Math.max(to, 0), pages - 1));
    body.current?.parentElement?.parentElement?.scrollTo(0, 0);
  };
  const unit = (quantity: 'yield' | 'speed' | 'cut_width') =>
    shownQuantity(quantity, told.units, told.bushel_kg).unit;
  return (
    <section className="point-table" aria-label="Points as a table">
      <header>
        <h3>
          {selection ? 'Selected points' : 'All points'}{' '}
          <span className="quiet">{decimal(rows.length, 0)}</span>
        </h3>
        <button type="button" className="plain" onClick={onClose}>
          Close
        </button>
      </header>
      <div className="scrolling">
        <table>
          <thead>
            <tr>
              <th scope="col">Time, UTC</th>
              <th scope="col">
                Yield <span className="unit">{unit('yield')}</span>
              </th>
              <th scope="col">
                Moisture <span className="unit">%</span>
              </th>
              <th scope="col">
                Speed <span className="unit">{unit('speed')}</span>
              </th>
              <th scope="col">
                Width <span className="unit">{unit('cut_width')}</span>
              </th>
              <th scope="col">State</th>
            </tr>
          </thead>
          <tbody ref={body}>
            {shown.map((row, i) => (
              <tr
                key={row}
                tabIndex={i === 0 ? 0 : -1}
                onFocus={() => onRow(row)}
                onBlur={() => onRow(null)}
                onKeyDown={(event) => press(event, row)}
              >
                <td>{clockOf(told, row) || decimal(told.columns.t_s[row], 0)}</td>
                <td>{yieldLine(told, row).number}</td>
                <td>{amount(told, 'moisture', row).number}</td>
                <td>{amount(told, 'speed', row).number}</td>
                <td>{amount(told, 'cut_width', row).number}</td>
                <td>{stateWords(told.columns.screened_by[row])}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <footer>
        <button type="button" className="plain" disabled={at === 0} onClick={() => turn(at - 1)}>
          Earlier
        </button>
        <span className="quiet">
          page {decimal(at + 1, 0)} of {decimal(pages, 0)}
        </span>
        <button type="button" className="plain" disabled={at === pages - 1} onClick={() => turn(at + 1)}>
          Later
        </button>
      </footer>
    </section>
  );
}

function rowsOf(count: number, selection: RowMask | null): Uint32Array {
  const rows = new Uint32Array(count);
  let next = 0;
  for (let row = 0; row < count; row++) if (!selection || selection[row] === 1) rows[next++] = row;
  return rows.subarray(0, next);
}

function stateWords(screened_by: number): string {
  return screened_by === 0 ? 'kept' : RULE_WORDS[SCREENING_RULES[screened_by - 1]];
}
