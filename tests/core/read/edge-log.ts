/** A tick log's runs with their edges as they stand in it: what tests of the readers look at. */
import type { BeamEdges, BeamExtent, LoggerRun } from '../../../core/read/logger-run.ts';
import { type BeamReader, RunColumns } from '../../../core/read/run-columns.ts';
import { createTickLogReader, type TickLogReader } from '../../../core/read/tick-log.ts';

export type EdgeLog = BeamExtent & BeamEdges;

export function edgeLog(edges: BeamEdges): EdgeLog {
  const { length } = edges.dark;
  return {
    ...edges,
    edges: length,
    first_us: length > 0 ? edges.tick_us[0] : Number.NaN,
    last_us: length > 0 ? edges.tick_us[length - 1] : Number.NaN,
  };
}

class EdgeCollector implements BeamReader<EdgeLog> {
  readonly #tick_us: number[] = [];
  readonly #dark: number[] = [];

  take(tick_us: Float64Array, dark: Uint8Array, count: number): void {
    for (let i = 0; i < count; i++) {
      this.#tick_us.push(tick_us[i]);
      this.#dark.push(dark[i]);
    }
  }

  finish(): EdgeLog {
    return edgeLog({ tick_us: Float64Array.from(this.#tick_us), dark: Uint8Array.from(this.#dark) });
  }
}

export function createEdgeReader(source: string): TickLogReader<LoggerRun<EdgeLog>> {
  return createTickLogReader(source, (damage) => new RunColumns(damage, new EdgeCollector()));
}
