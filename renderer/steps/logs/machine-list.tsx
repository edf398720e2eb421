/** Machines of the season, with what was measured on each; a new one is named here. */
import { type FormEvent, useState } from 'react';
import type { Patch } from '../../../core/edits/season-edit.ts';
import type { MachineSheet } from '../../../core/season.ts';
import { useSession } from '../../session/use-session.ts';
import { NumberEntry } from '../panel.tsx';
import { PADDLE_KEYS, PADDLE_WORDS, PaddleForm } from './paddle-form.tsx';

export function MachineList({ machines }: { readonly machines: readonly MachineSheet[] }) {
  return (
    <section>
      <h3>Machines</h3>
      {machines.map((machine) => (
        <MachineNumbers key={machine.id} machine={machine} />
      ))}
      <NewMachine machines={machines} />
    </section>
  );
}

/** A header as often met, for the entry of a new machine; INVENTED, to be measured on the machine. */
const FIRST_HEADER_M = '9.144';

function MachineNumbers({ machine }: { readonly machine: MachineSheet }) {
  const session = useSession();
  const change = (patch: Patch<MachineSheet>) =>
    void session.edit({ kind: 'change_machine', id: machine.id, change: patch });
  return (
    <details open={machine.paddle === undefined ? true : undefined}>
      <summary>
        {machine.name}{' '}
        <span className="quiet">
          header {machine.header.width_m} m{machine.paddle === undefined ? ', no paddle measures yet' : ''}
        </span>
      </summary>
      {machine.paddle === undefined && <PaddleForm machine={machine} />}
      <div className="form-grid">
        {machine.paddle !== undefined &&
          PADDLE_KEYS.map((key) => (
            <Line
              key={key}
              label={PADDLE_WORDS[key]}
              unit="mm"
              held={machine.paddle?.[key]}
              onEnter={(number) => change({ paddle: { [key]: number } })}
            />
          ))}
        <Line
          label="Header width"
          unit="m"
          held={machine.header.width_m}
          onEnter={(width_m) => change({ header: { width_m } })}
        />
        <Line
          label="Antenna ahead of the cutting line (behind: negative)"
          unit="m"
          held={machine.antenna?.ahead_of_cut_m}
          onEnter={(ahead_of_cut_m) =>
            change({
              antenna: { right_of_centre_m: machine.antenna?.right_of_centre_m ?? 0, ahead_of_cut_m },
            })
          }
        />
        <Line
          label="Antenna right of the header’s middle"
          unit="m"
          held={machine.antenna?.right_of_centre_m}
          onEnter={(right_of_centre_m) =>
            change({ antenna: { ahead_of_cut_m: machine.antenna?.ahead_of_cut_m ?? 0, right_of_centre_m } })
          }
        />
      </div>
    </details>
  );
}

interface LineProps {
  readonly label: string;
  readonly unit: string;
  readonly held: number | undefined;
  readonly onEnter: (number: number) => void;
}

/** One measure; it has no default to go back to. */
function Line({ label, unit, held, onEnter }: LineProps) {
  return (
    <div className="measure">
      <NumberEntry
        label={label}
        unit={unit}
        entered={undefined}
        fallback={held ?? null}
        onEnter={(number) => number !== null && onEnter(number)}
      />
    </div>
  );
}

function NewMachine({ machines }: { readonly machines: readonly MachineSheet[] }) {
  const session = useSession();
  const [name, setName] = useState(`combine ${machines.length + 1}`);
  const [header_m, setHeader] = useState(FIRST_HEADER_M);
  const add = (event: FormEvent) => {
    event.preventDefault();
    const machine: MachineSheet = {
      id: freeId(machines),
      name: name.trim(),
      header: { width_m: Number(header_m) },
    };
    void session.edit({ kind: 'add_machine', machine });
  };
  return (
    <details>
      <summary className="quiet">Add a machine</summary>
      <form className="form-grid" onSubmit={add}>
        <label htmlFor="machine-name">Name</label>
        <input
          id="machine-name"
          type="text"
          value={name}
          required
          onChange={({ target }) => setName(target.value)}
        />
        <label htmlFor="machine-header">Header width, m</label>
        <input
          id="machine-header"
          type="number"
          step="any"
          value={header_m}
          required
          onChange={({ target }) => setHeader(target.value)}
        />
        <div className="foot">
          <button type="submit" className="main">
            Add machine
          </button>
        </div>
      </form>
    </details>
  );
}

function freeId(machines: readonly MachineSheet[]): string {
  const taken = new Set(machines.map(({ id }) => id));
  let number = machines.length + 1;
  while (taken.has(`c${number}`)) number++;
  return `c${number}`;
}
