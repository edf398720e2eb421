/**
 * Which machine each log is from: what the user says, a counter that runs on from a log that is known, words in names, the
 * only machine there is; and never two logs at once on one machine, which makes new machines where too few are known.
 */

import { type LogOutline, sharedTime } from './log-outline.ts';
import { type LoggerChain, nameLikeness } from './logger-chains.ts';
import { machineInWords, type NamedMachine } from './machine-words.ts';

export interface MachineChoice {
  readonly machine: string;
  /** Completes "it is from …, because": one clause. */
  readonly reason: string;
  /** Whether something says so; false where it is the likeliest of several. */
  readonly known: boolean;
}

export interface MachineChoices {
  /** By id of the log. */
  readonly of: ReadonlyMap<string, MachineChoice>;
  /** Machines that the season does not have yet, in the order in which they are first needed. */
  readonly added: readonly NamedMachine[];
}

export interface KnownMachines {
  readonly machines: readonly NamedMachine[];
  /** Names that tickets use for machines. */
  readonly ticketNames: readonly string[];
  /** Machine of each log that the season lists, by path. */
  readonly ofLog: ReadonlyMap<string, string>;
  /** What the user said. */
  readonly chosen?: string;
}

/** Two logs that share more time than this are two machines, s. */
const OVERLAP_S = 30;

/** Chooses for every chain in time order; chains of which something is known go first, so that the others can follow. */
export function chooseMachines(chains: readonly LoggerChain[], known: KnownMachines): MachineChoices {
  const assigned = new Map<string, LogOutline[]>();
  const of = new Map<string, MachineChoice>();
  const machines = [...known.machines];
  const added: NamedMachine[] = [];
  const take = (chain: LoggerChain, choice: MachineChoice) => {
    assigned.set(choice.machine, [...(assigned.get(choice.machine) ?? []), ...chain.logs]);
    for (const log of chain.logs) if (!known.ofLog.has(log.id)) of.set(log.id, choice);
  };
  const add = (machine: NamedMachine): NamedMachine => {
    machines.push(machine);
    added.push(machine);
    return machine;
  };
  const open: LoggerChain[] = [];
  for (const chain of chains) {
    const sure = saidMachine(chain, known, machines, add);
    if (sure === undefined) open.push(chain);
    else take(chain, sure);
  }
  for (const chain of open) take(chain, likeliest(chain, machines, assigned, add));
  return { of, added };
}

/** A machine that something names. */
function saidMachine(
  chain: LoggerChain,
  known: KnownMachines,
  machines: readonly NamedMachine[],
  add: (machine: NamedMachine) => NamedMachine,
): MachineChoice | undefined {
  const isNew = chain.logs.some(({ id }) => !known.ofLog.has(id));
  if (known.chosen !== undefined && isNew) {
    const found = machines.find(({ id, name }) => isNamed(known.chosen as string, id, name));
    const machine = found ?? add({ id: known.chosen, name: known.chosen });
    return { machine: machine.id, reason: 'it was said', known: true };
  }
  for (const { id } of chain.logs) {
    const machine = known.ofLog.get(id);
    if (machine !== undefined) return { machine, reason: `its counter runs on from ${id}`, known: true };
  }
  for (const log of chain.logs) {
    const meant = machineInWords(log, machines);
    if (meant !== undefined) return { machine: meant.id, reason: `its name says ${meant.name}`, known: true };
  }
  const ofTickets = known.ticketNames
    .filter((name) => !machines.some((machine) => isNamed(name, machine.id, machine.name)))
    .map((name) => ({ id: name, name }));
  for (const log of chain.logs) {
    const meant = machineInWords(log, ofTickets);
    if (meant === undefined) continue;
    add(meant);
    return { machine: meant.id, reason: `its name says ${meant.name}, as the tickets do`, known: true };
  }
  return undefined;
}

function likeliest(
  chain: LoggerChain,
  machines: readonly NamedMachine[],
  assigned: ReadonlyMap<string, readonly LogOutline[]>,
  add: (machine: NamedMachine) => NamedMachine,
): MachineChoice {
  const free = machines.filter(({ id }) => !areAtOnce(chain.logs, assigned.get(id) ?? []));
  if (machines.length === 1 && free.length === 1)
    return { machine: free[0].id, reason: 'it is the only machine', known: true };
  if (free.length === 0) {
    const machine = add(newMachine(machines));
    const first = machines.length === 1;
    const reason = first
      ? 'it is the first log'
      : 'it was recorded at the same time as logs of every other machine';
    return { machine: machine.id, reason, known: true };
  }
  const scored = free
    .map((machine) => ({ machine, score: likeness(chain, assigned.get(machine.id) ?? []) }))
    .sort((a, b) => b.score - a.score);
  const [best, next] = scored;
  if (next === undefined) {
    return {
      machine: best.machine.id,
      reason: 'every other machine was recorded at the same time',
      known: true,
    };
  }
  const clear = best.score - next.score > 0.5;
  const reason = clear ? 'it is most like its other logs' : 'nothing tells which machine it is from';
  return { machine: best.machine.id, reason, known: clear };
}

/** Whether any log of one set was recorded while one of the other was, both holding the beam or both the positions. */
function areAtOnce(some: readonly LogOutline[], others: readonly LogOutline[]): boolean {
  return some.some((log) =>
    others.some(
      (other) =>
        ((log.hasGrain && other.hasGrain) || (log.hasFixes && other.hasFixes)) &&
        log.stretches.some((a) => other.stretches.some((b) => sharedTime(a, b) > OVERLAP_S)),
    ),
  );
}

/** How like a chain is to the logs of a machine: what they hold, how they are named, where they lie. */
function likeness(chain: LoggerChain, logs: readonly LogOutline[]): number {
  if (logs.length === 0) return 0;
  const scores = logs.map((log) => {
    const same = chain.logs[0];
    const kinds = signatureOf(same) === signatureOf(log) ? 2 : 0;
    const folder = folderOf(same.id) !== '' && folderOf(same.id) === folderOf(log.id) ? 0.6 : 0;
    return kinds + folder + nameLikeness(fileOf(same.id), fileOf(log.id));
  });
  return Math.max(...scores);
}

/** Which kinds of lines a log holds, and how often it has a position. */
function signatureOf({ kind, stretches }: LogOutline): string {
  const has = (of: 'edges' | 'fixes' | 'moisture' | 'header' | 'tilt') =>
    stretches.some((stretch) => stretch[of] > 0) ? of : '';
  const longest = stretches.reduce((a, b) => (b.fixes > a.fixes ? b : a), stretches[0]);
  const rate = longest.fixes / Math.max(1, longest.last_utc_s - longest.first_utc_s);
  const hertz = Number.isNaN(rate) ? '' : String(Math.round(rate));
  return [kind, has('edges'), has('fixes'), has('moisture'), has('header'), has('tilt'), hertz].join();
}

function folderOf(id: string): string {
  return id.slice(0, Math.max(0, id.lastIndexOf('/')));
}

function fileOf(id: string): string {
  return id.slice(id.lastIndexOf('/') + 1);
}

/** `c1`, `c2` …, the first that is free. */
function newMachine(machines: readonly NamedMachine[]): NamedMachine {
  for (let number = 1; ; number++) {
    const [id, name] = [`c${number}`, `combine ${number}`];
    if (
      !machines.some(
        (machine) => isNamed(id, machine.id, machine.name) || isNamed(name, machine.id, machine.name),
      )
    )
      return { id, name };
  }
}

function isNamed(wanted: string, id: string, name: string): boolean {
  const plain = wanted.trim().toLowerCase();
  return plain === id.trim().toLowerCase() || plain === name.trim().toLowerCase();
}
