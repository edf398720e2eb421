/** Machines of the season, with what was measured on each; a new one is named here. */
import { type FormEvent, useState } from 'react';
import type { Patch } from '../../../core/edits/season-edit.ts';
import type { MachineSheet } from '../../../core/season.ts';
import { fittingOf } from '../../first-acre/fitting.ts';
import { unitsOf } from '../../session/session-state.ts';
import { useSession, useSessionState } from '../../session/use-session.ts';
import { width } from '../../text/quantities.ts';
import { counted } from '../../text/words.ts';
import { NumberEntry } from '../panel.tsx';
import { LengthEntry } from './length-entry.tsx';
import { BEAM_MEASURES, type MachineMeasure, PADDLE_MEASURES, PLACE_MEASURES } from './machine-measures.ts';
import { PaddleForm } from './paddle-form.tsx';

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
const FIRST_HEADER_M = 9.144;
const [HEADER] = PLACE_MEASURES;

function MachineNumbers({ machine }: { readonly machine: MachineSheet }) {
  const session = useSession();
  const units = unitsOf(useSessionState());
  const { paddle, unconfirmed = [] } = machine;
  const health = useSessionState().built?.reply.summary.health ?? [];
  const odd = health.filter((day) => day.machine === machine.id && day.alerts.length > 0).length;
  const change = (patch: Patch<MachineSheet>) =>
    void session.edit({ kind: 'change_machine', id: machine.id, change: patch });
  const lines = (measures: readonly MachineMeasure[]) =>
    measures.map((measure) => (
      <LengthEntry
        key={measure.key}
        measure={measure}
        units={units}
        held_m={measure.of(machine)}
        isAssumed={unconfirmed.includes(measure.key) || unconfirmed.includes(measure.key.split('.')[0])}
        onEnter={(length_m) => change(measure.patch(length_m, machine))}
      />
    ));
  const header = width(machine.header.width_m, units);
  const lacks = paddle === undefined ? ', no paddle measures yet' : '';
  const guesses = unconfirmed.length > 0 ? `, ${unconfirmed.length} assumed` : '';
  return (
    <details open={paddle === undefined || unconfirmed.length > 0 ? true : undefined}>
      <summary>
        {machine.name}{' '}
        <span className="quiet">
          header {header.number} {header.unit}
          {lacks}
          {guesses}
        </span>
      </summary>
      <p className="caution">
        Before you measure: engine off, key out, everything stopped, header blocked. Turn nothing by hand
        unless a second person knows of it.
      </p>
      <p>
        <button
          type="button"
          className="plain"
          onClick={() => session.look({ isFitting: true, fitting: fittingOf(machine, units) })}
        >
          Before the first acre: placement and beam check
        </button>
        {odd > 0 && (
          <button type="button" className="plain" onClick={() => session.look({ stage: 'fill' })}>
            Sensor: {counted(odd, 'day')} to look at, under Fill
          </button>
        )}
      </p>
      {paddle === undefined && <PaddleForm machine={machine} />}
      <div className="lengths">
        {paddle !== undefined && lines(PADDLE_MEASURES)}
        {lines(PLACE_MEASURES)}
      </div>
      <details>
        <summary className="quiet">The beam’s place, and counts</summary>
        <div className="lengths">
          {lines(BEAM_MEASURES)}
          {paddle !== undefined && (
            <Count
              label="Paddles on the whole chain"
              held={paddle.count}
              onEnter={(count) => change({ paddle: { count } })}
            />
          )}
          <Count
            label="Rows of the header"
            held={machine.header.rows}
            onEnter={(rows) => change({ header: { rows } })}
          />
        </div>
      </details>
    </details>
  );
}

interface CountProps {
  readonly label: string;
  readonly held: number | undefined;
  readonly onEnter: (count: number | null) => void;
}

/** A count that may be left out. */
function Count({ label, held, onEnter }: CountProps) {
  return (
    <div className="measure">
      <NumberEntry label={label} unit="" step={1} entered={held} fallback={null} onEnter={onEnter} />
    </div>
  );
}

function NewMachine({ machines }: { readonly machines: readonly MachineSheet[] }) {
  const session = useSession();
  const units = unitsOf(useSessionState());
  const [name, setName] = useState(`combine ${machines.length + 1}`);
  const [width_m, setWidth] = useState(FIRST_HEADER_M);
  const add = (event: FormEvent) => {
    event.preventDefault();
    if (!(width_m > 0)) return;
    const machine: MachineSheet = { id: freeId(machines), name: name.trim(), header: { width_m } };
    void session.edit({ kind: 'add_machine', machine });
  };
  return (
    <details>
      <summary className="quiet">Add a machine</summary>
      <form className="lengths" onSubmit={add}>
        <div className="length">
          <label htmlFor="machine-name">Name</label>
          <input
            id="machine-name"
            type="text"
            value={name}
            required
            onChange={({ target }) => setName(target.value)}
          />
        </div>
        <LengthEntry measure={HEADER} units={units} held_m={FIRST_HEADER_M} onDraft={setWidth} />
        <div className="foot">
          <button type="submit" className="main" disabled={!(width_m > 0)}>
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
