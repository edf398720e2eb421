/**
 * A scene: everything that the simulator is told. Immutable and chainable: every method returns a new frozen
 * scene, so that variants of one scene can be written side by side.
 *
 *     scene('plain').seed(3).field({ crop: 'corn' }).machine({ drive: { speed_m_s: 2.2 } }).damage({ chatter_per_s: 1 })
 */
import { DEFAULT_DAMAGE, DEFAULT_FIELD, DEFAULT_LOADS, DEFAULT_MACHINE } from './scene-defaults.ts';
import type { DamageSpec, FieldSpec, LoadsSpec, MachineSpec, SceneSpec } from './scene-spec.ts';

/** Partial, and partial one level down as well; arrays whole. */
export type Patch<T> = {
  readonly [K in keyof T]?: T[K] extends readonly unknown[]
    ? T[K]
    : T[K] extends object
      ? Partial<T[K]>
      : T[K];
};

/** An immutable scene; `spec` is what `simulate` reads. */
export interface Scene {
  readonly spec: SceneSpec;
  seed(seed: number): Scene;
  units(units: 'us' | 'metric'): Scene;
  /** Adds a field; what is left out comes from `DEFAULT_FIELD`. */
  field(patch: Patch<FieldSpec>): Scene;
  /** Adds a machine, which works in all fields; what is left out comes from `DEFAULT_MACHINE`. */
  machine(patch: Patch<MachineSpec>): Scene;
  /** Changes all fields that are there already. */
  everyField(patch: Patch<FieldSpec>): Scene;
  /** Changes all machines that are there already. */
  everyMachine(patch: Patch<MachineSpec>): Scene;
  damage(patch: Partial<DamageSpec>): Scene;
  loads(patch: Partial<LoadsSpec>): Scene;
  /** Plants so many faults of each kind. */
  faults(each: number): Scene;
  /** Enters comparisons and settings into the season sheet. */
  sheet(entered: NonNullable<SceneSpec['sheet']>): Scene;
}

/** A scene without fields and machines, without damage, with a ticket each load. */
export function scene(name: string): Scene {
  return sceneOf({
    name,
    seed: 1,
    units: 'metric',
    fields: [],
    machines: [],
    damage: DEFAULT_DAMAGE,
    loads: DEFAULT_LOADS,
  });
}

function sceneOf(spec: SceneSpec): Scene {
  const but = (change: Partial<SceneSpec>): Scene => sceneOf({ ...spec, ...change });
  return Object.freeze({
    spec: deepFrozen(spec),
    seed: (seed: number) => but({ seed }),
    units: (units: 'us' | 'metric') => but({ units }),
    field: (patch: Patch<FieldSpec>) => but({ fields: [...spec.fields, patched(DEFAULT_FIELD, patch)] }),
    machine: (patch: Patch<MachineSpec>) =>
      but({ machines: [...spec.machines, patched(DEFAULT_MACHINE, patch)] }),
    everyField: (patch: Patch<FieldSpec>) => but({ fields: spec.fields.map((one) => patched(one, patch)) }),
    everyMachine: (patch: Patch<MachineSpec>) =>
      but({ machines: spec.machines.map((one) => patched(one, patch)) }),
    damage: (patch: Partial<DamageSpec>) => but({ damage: { ...spec.damage, ...patch } }),
    loads: (patch: Partial<LoadsSpec>) => but({ loads: { ...spec.loads, ...patch } }),
    faults: (each: number) => but({ faults_each: each }),
    sheet: (entered: NonNullable<SceneSpec['sheet']>) => but({ sheet: entered }),
  });
}

function patched<T extends object>(base: T, patch: Patch<T>): T {
  const merged = { ...base } as Record<string, unknown>;
  for (const [key, change] of Object.entries(patch)) {
    const before = merged[key];
    merged[key] = isPlain(before) && isPlain(change) ? { ...before, ...change } : change;
  }
  return merged as T;
}

function isPlain(thing: unknown): thing is object {
  return typeof thing === 'object' && thing !== null && !Array.isArray(thing);
}

function deepFrozen<T>(thing: T): T {
  if (typeof thing !== 'object' || thing === null || Object.isFrozen(thing)) return thing;
  for (const inner of Object.values(thing)) deepFrozen(inner);
  return Object.freeze(thing);
}
