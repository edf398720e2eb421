/** How the columns of a table are understood, with rows to judge it by; each can be said otherwise. */
import { useState } from 'react';
import type { ImportedFile, MappingGuess } from '../../../core/host-contract.ts';
import type { MappedColumn, MappedQuantity } from '../../../core/season.ts';
import { useSession } from '../../session/use-session.ts';
import { plain } from '../../text/words.ts';

const QUANTITIES: readonly MappedQuantity[] = [
  'longitude',
  'latitude',
  'time',
  'date',
  'clock_time',
  'interval',
  'mass_flow',
  'volume_flow',
  'mass',
  'distance',
  'speed',
  'swath',
  'heading',
  'moisture',
  'altitude',
  'header_state',
  'fix_quality',
  'field',
];
const ROWS_SHOWN = 4;

interface MappingFormProps {
  readonly file: ImportedFile;
  readonly guess: MappingGuess;
}

export function MappingForm({ file, guess }: MappingFormProps) {
  const session = useSession();
  const [columns, setColumns] = useState<readonly MappedColumn[]>(guess.mapping.columns);
  const isWaiting = file.outcome === 'needs_mapping';
  const say = (column: string | number, change: Partial<MappedColumn> | null) => {
    const others = columns.filter((one) => one.column !== column);
    const held = columns.find((one) => one.column === column);
    if (change === null) setColumns(others);
    else setColumns([...others, { quantity: 'longitude', column, ...held, ...change }]);
  };
  const shown = guess.rows.slice(0, ROWS_SHOWN);
  return (
    <details open={isWaiting}>
      <summary className="quiet">Columns as understood{guess.remembered ? ' (as last time)' : ''}</summary>
      <div className="table-wrap">
        <table>
          <thead>
            <tr>
              <th scope="col">column</th>
              <th scope="col" className="words">
                is
              </th>
              <th scope="col" className="words">
                unit
              </th>
              <th scope="col" className="words">
                first rows
              </th>
            </tr>
          </thead>
          <tbody>
            {guess.header.map((name, i) => {
              const column = guess.mapping.has_header === false ? i + 1 : name;
              const held = columns.find((one) => one.column === column || one.column === i + 1);
              return (
                <tr key={name}>
                  <th scope="row">{name}</th>
                  <td className="words">
                    <select
                      aria-label={`What ${name} is`}
                      value={held?.quantity ?? ''}
                      onChange={({ target }) => {
                        const quantity = QUANTITIES.find((one) => one === target.value);
                        say(held?.column ?? column, quantity === undefined ? null : { quantity });
                      }}
                    >
                      <option value="">not used</option>
                      {QUANTITIES.map((quantity) => (
                        <option key={quantity} value={quantity}>
                          {plain(quantity)}
                        </option>
                      ))}
                    </select>
                  </td>
                  <td className="words">
                    <input
                      type="text"
                      size={6}
                      aria-label={`Unit of ${name}`}
                      value={held?.unit ?? ''}
                      disabled={held === undefined}
                      onChange={({ target }) =>
                        say(held?.column ?? column, {
                          unit: target.value === '' ? undefined : target.value,
                        })
                      }
                    />
                  </td>
                  <td className="words quiet">{shown.map((row) => row[i] ?? '').join(' · ')}</td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
      {isWaiting && (
        <button
          type="button"
          className="main"
          disabled={columns.length === 0}
          onClick={() => void session.importAs(file.source_name, { ...guess.mapping, columns })}
        >
          Read it so
        </button>
      )}
    </details>
  );
}
