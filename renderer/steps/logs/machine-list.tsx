/** Machines of the season, with what was measured on each; a new one is named here. */
import { type FormEvent, useState } from 'react';
import type { Patch } from '../../../core/edits/season-edit.ts';
import type { MachineSheet } from '../../../core/season.ts';
import { useSession } from '../../session/use-session.ts';
import { NumberEntry } from '../panel.tsx';

export function MachineList({ machines }: { readonly machines: readonly MachineSheet[] }) {
  return (
    <section>
      <h3>Machines</h3>
      {machines.map((machine) => (
        <MachineNumbers key={machine.id} machine={machine} />
      ))}
      <NewMachine machines={machines} isOpen={machines.length === 0} />
    </section>
  );
}

type PaddleKey = 'pitch_mm' | 'width_mm' | 'depth_mm' | 'thickness_mm';

/** A paddle as often met, for the entries of a new machine; INVENTED, to be measured on the machine. */
const FIRST_PADDLE: Readonly<Record<PaddleKey, number>> = {
  pitch_mm: 203.2,
  width_mm: 260,
  depth_mm: 150,
  thickness_mm: 10,
};
const PADDLE_WORDS: Readonly<Record<PaddleKey, string>> = {
  pitch_mm: 'From one paddle to the next',
  width_mm: 'Width of a paddle',
  depth_mm: 'Depth of a paddle',
  thickness_mm: 'Thickness of a paddle',
};
const PADDLE_KEYS = Object.keys(FIRST_PADDLE) as PaddleKey[];

function MachineNumbers({ machine }: { readonly machine: MachineSheet }) {
  const session = useSession();
  const change = (patch: Patch<MachineSheet>) =>
    void session.edit({ kind: 'change_machine', id: machine.id, change: patch });
  return (
    <details>
      <summary>
        {machine.name} <span className="quiet">header {machine.header.width_m} m</span>
      </summary>
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

function NewMachine({
  machines,
  isOpen,
}: {
  readonly machines: readonly MachineSheet[];
  readonly isOpen: boolean;
}) {
  const session = useSession();
  const [name, setName] = useState(`combine ${machines.length + 1}`);
  const [header_m, setHeader] = useState('9.144');
  const [paddle, setPaddle] = useState<Readonly<Record<PaddleKey, number>>>(FIRST_PADDLE);
  const [hasBeam, setBeam] = useState(true);
  const add = (event: FormEvent) => {
    event.preventDefault();
    const machine: MachineSheet = {
      id: freeId(machines),
      name: name.trim(),
      ...(hasBeam ? { paddle } : {}),
      header: { width_m: Number(header_m) },
    };
    void session.edit({ kind: 'add_machine', machine });
  };
  return (
    <details open={isOpen}>
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
        <label htmlFor="machine-beam">Its logs come from a light beam</label>
        <input
          id="machine-beam"
          type="checkbox"
          checked={hasBeam}
          onChange={({ target }) => setBeam(target.checked)}
        />
        {hasBeam &&
          PADDLE_KEYS.flatMap((key) => [
            <label key={`${key} label`} htmlFor={`machine-${key}`}>
              {PADDLE_WORDS[key]}, mm
            </label>,
            <input
              key={key}
              id={`machine-${key}`}
              type="number"
              step="any"
              required
              value={paddle[key]}
              onChange={({ target }) => setPaddle({ ...paddle, [key]: Number(target.value) })}
            />,
          ])}
        <div className="foot">
          <button type="submit" className="main">
            Add machine
          </button>
          <span className="quiet">Measured with a rule: engine off, key out, everything stopped.</span>
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
