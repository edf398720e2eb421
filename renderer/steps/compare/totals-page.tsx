/** Totals by field, machine, variety, day or load: one table that can be sorted, and the same as CSV. */
import { useState } from 'react';
import {
  GROUP_KINDS,
  type GroupKind,
  type TotalsRow,
  type TotalsTable,
} from '../../../core/analysis/totals/group-totals.ts';
import { comparisonsOf, useAskedComparisons } from '../../session/comparisons.ts';
import { bushelOf } from '../../session/season-figures.ts';
import { area, decimal, grainMass, type Quantity, yieldOf } from '../../text/quantities.ts';
import { capitalised, counted, LEGAL_LINE } from '../../text/words.ts';
import { Panel, type StepContext } from '../panel.tsx';
import { Asked } from './asked.tsx';
import { type Sorting, sortedRows, TOTALS_COLUMNS, type TotalsColumn } from './totals-order.ts';

export function TotalsPage(context: StepContext) {
  const { season, session, units, state } = context;
  const compared = useAskedComparisons();
  const comparisons = comparisonsOf(session);
  const [by, setBy] = useState<GroupKind>('field');
  const [sorting, setSorting] = useState<Sorting | null>(null);
  const tables = compared.reply?.totals.filter((table) => table.by === by) ?? [];
  const groups = tables.reduce(
    (sum, { rows }) => sum + rows.filter(({ kind }) => kind === 'group').length,
    0,
  );
  const { written } = compared;
  const sort = (column: TotalsColumn) =>
    setSorting((held) => ({
      column,
      way:
        held?.column === column ? (held.way === 'down' ? 'up' : 'down') : column === 'group' ? 'up' : 'down',
    }));
  return (
    <Panel
      title={`Totals of ${season.name}`}
      finding={
        compared.reply === null
          ? 'Of all fields, by what you choose.'
          : `${counted(groups, by, PLURALS[by])}; whatever they are parted by, they add up to the fields’ own totals.`
      }
      meaning={
        <p>
          Grain “on no ground” ran out between points or belongs to a group that cut nothing; it is in the
          totals and in no yield. A day is a day of work: what is cut after midnight belongs to the evening
          before.
        </p>
      }
    >
      <Asked {...compared} />
      <fieldset className="kinds">
        <legend className="unseen">Totals by</legend>
        {GROUP_KINDS.map((kind) => (
          <label key={kind}>
            <input type="radio" name="totals-by" checked={kind === by} onChange={() => setBy(kind)} />
            {capitalised(kind)}
          </label>
        ))}
      </fieldset>
      {tables.map((table) => (
        <Table
          key={table.crop}
          table={table}
          sorting={sorting}
          onSort={sort}
          bushel_kg={bushelOf(season, table.crop)}
          units={units}
        />
      ))}
      <p className="estimate">{LEGAL_LINE}. Grain and yields are at each field’s standard moisture.</p>
      <section>
        <div className="row">
          <button type="button" className="framed" onClick={() => void comparisons.write()}>
            Write all tables as CSV
          </button>
        </div>
        {written !== null && state.season !== null && (
          <div role="status">
            <ul className="written-files">
              {written.files.map(({ path }) => (
                <li key={path}>
                  <a href={session.host.fileAddress(state.season?.season ?? '', path)} download>
                    {path.replace(/^out\//, '')}
                  </a>
                </li>
              ))}
            </ul>
            <p className="estimate">In {state.season.folder}/out</p>
          </div>
        )}
      </section>
    </Panel>
  );
}

const PLURALS: Readonly<Record<GroupKind, string>> = {
  field: 'fields',
  machine: 'machines',
  variety: 'varieties',
  day: 'days',
  load: 'loads',
};

interface TableProps extends Pick<StepContext, 'units' | 'bushel_kg'> {
  readonly table: TotalsTable;
  readonly sorting: Sorting | null;
  readonly onSort: (column: TotalsColumn) => void;
}

function Table({ table, sorting, onSort, units, bushel_kg }: TableProps) {
  const cells: Readonly<Record<Exclude<TotalsColumn, 'group'>, (row: TotalsRow) => Quantity>> = {
    area_ha: ({ area_ha }) => area(area_ha, units),
    mass_std_kg: ({ mass_std_kg }) => grainMass(mass_std_kg, bushel_kg, units),
    yield_t_ha: ({ yield_t_ha }) => yieldOf(yield_t_ha, bushel_kg, units),
    moisture_pct: ({ moisture_pct }) => ({ number: decimal(moisture_pct, 1), unit: '%' }),
  };
  const [first] = table.rows;
  return (
    <section className="table-wrap">
      <table className="totals">
        <caption>{capitalised(table.crop)}</caption>
        <thead>
          <tr>
            {TOTALS_COLUMNS.map(([column, words]) => {
              const isBy = sorting?.column === column;
              const heading = column === 'group' ? capitalised(table.by) : words;
              return (
                <th
                  key={column}
                  scope="col"
                  aria-sort={isBy ? (sorting.way === 'up' ? 'ascending' : 'descending') : undefined}
                >
                  <button type="button" className="plain" onClick={() => onSort(column)}>
                    {heading}
                    {column !== 'group' && first !== undefined && (
                      <span className="unit"> {cells[column](first).unit}</span>
                    )}
                    <span aria-hidden="true">{isBy ? (sorting.way === 'up' ? ' ↑' : ' ↓') : ''}</span>
                  </button>
                </th>
              );
            })}
          </tr>
        </thead>
        <tbody>
          {sortedRows(table.rows, sorting).map((row) => (
            <tr key={`${row.kind} ${row.group}`} className={row.kind}>
              <th scope="row" className="wraps">
                {row.kind === 'total' ? 'All' : row.group}
              </th>
              {TOTALS_COLUMNS.slice(1).map(([column]) => (
                <td key={column} className="number">
                  {column === 'group' ? row.group : cells[column](row).number}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
