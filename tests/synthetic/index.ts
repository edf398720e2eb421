/** The simulator that knows the truth: scenes in, season folders and what really happened out. */
export { BLOCK_SIDE_M, type BlockFrame, blockFrame } from './block-frame.ts';
export type { BlockTruth } from './ground.ts';
export type { TicketTruth } from './scale-tickets.ts';
export { type Patch, type Scene, scene } from './scene.ts';
export type { DamageSpec, FieldSpec, LoadsSpec, MachineSpec, SceneSpec } from './scene-spec.ts';
export * from './scenes.ts';
export { writeSeason } from './season-folder.ts';
export type {
  FieldMachineTruth,
  FieldTruth,
  LogArtefacts,
  MachineTruth,
  MassBalance,
  SeasonTruth,
} from './season-truth.ts';
export { type SimulatedSeason, simulate } from './simulate.ts';
