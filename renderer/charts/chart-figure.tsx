/** Frame of every chart: a title that states the finding, the picture, and the same as a table for who cannot see it. */
import './charts.css';
import { type ReactNode, useRef } from 'react';
import { useSize } from './use-size.ts';

export interface ChartTable {
  readonly head: readonly string[];
  /** First cell of each row is its name. */
  readonly rows: readonly (readonly string[])[];
}

interface ChartFigureProps {
  /** The finding, one sentence. */
  readonly title: string;
  /** What the picture shows, for who cannot see it. */
  readonly alt: string;
  readonly height: number;
  readonly table?: ChartTable;
  /** `controls`: something in the picture can be moved with the keys, and must be reachable. */
  readonly holds?: 'controls';
  /** Words below the picture. */
  readonly note?: ReactNode;
  /** Draws into a picture of this width, CSS pixels. */
  readonly children: (width: number) => ReactNode;
}

const LEAST_WIDTH = 220;

export function ChartFigure({ title, alt, height, table, holds, note, children }: ChartFigureProps) {
  const place = useRef<HTMLDivElement>(null);
  const { width } = useSize(place);
  return (
    <figure className="chart">
      <figcaption>{title}</figcaption>
      <div ref={place} className="chart-place" style={{ height }}>
        {width > 0 && (
          <svg
            width={Math.max(width, LEAST_WIDTH)}
            height={height}
            role={holds ? 'group' : 'img'}
            aria-label={alt}
          >
            {children(Math.max(width, LEAST_WIDTH))}
          </svg>
        )}
      </div>
      {note && <div className="chart-note">{note}</div>}
      {table && <TableOf table={table} title={title} />}
    </figure>
  );
}

function TableOf({ table, title }: { readonly table: ChartTable; readonly title: string }) {
  return (
    <details className="chart-table">
      <summary>As a table</summary>
      <table>
        <caption className="unseen">{title}</caption>
        <thead>
          <tr>
            {table.head.map((name) => (
              <th key={name} scope="col">
                {name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {table.rows.map(([name, ...cells]) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              {cells.map((cell, i) => (
                <td key={table.head[i + 1]}>{cell}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  );
}
