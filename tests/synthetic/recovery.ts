/**
 * How well the program finds the truth of a simulated season: the whole chain on the season's files, compared with what
 * the simulator knows. Nothing of the truth reaches the chain.
 */

import { createHash } from 'node:crypto';
import { gunzipSync } from 'node:zlib';
import { chatterOf, readLog } from '../../core/pipeline/log-reader.ts';
import { runPipeline, type SeasonSources } from '../../core/pipeline.ts';
import type { FieldPoints, SeasonResult } from '../../core/result.ts';
import type { Season } from '../../core/season.ts';
import { decodeSeason } from '../../core/season-file.ts';
import { blockMeans } from './block-means.ts';
import type { FieldTruth, SimulatedSeason } from './index.ts';

/** One line of the truth table: one field of one simulated season. */
export interface Recovery {
  readonly scene: string;
  readonly seed: number;
  readonly field: string;
  readonly area_error_pct: number;
  readonly mass_error_pct: number;
  /** Largest over the field's machines. */
  readonly transport_error_s: number;
  readonly mixing_error_s: number;
  readonly blocks: number;
  readonly block_rmse_pct: number;
  readonly block_r: number;
  readonly mistyped_tickets: number;
  readonly mistyped_flagged: number;
  readonly honest_flagged: number;
  readonly kept_pct: number;
}

/** Files of a season as they lie on the disk, logs unpacked. */
export interface SeasonFiles {
  readonly logs: ReadonlyMap<string, Uint8Array>;
  readonly texts: ReadonlyMap<string, string>;
  readonly hashes: ReadonlyMap<string, string>;
}

export function filesOf(season: SimulatedSeason): SeasonFiles {
  const logs = new Map<string, Uint8Array>();
  const texts = new Map<string, string>();
  const hashes = new Map<string, string>();
  for (const [path, bytes] of season.files) {
    hashes.set(path, createHash('sha256').update(bytes).digest('hex'));
    if (path.startsWith('logs/')) logs.set(path, path.endsWith('.gz') ? gunzipSync(bytes) : bytes);
    else texts.set(path, new TextDecoder().decode(bytes));
  }
  hashes.delete('season.json');
  return { logs, texts, hashes };
}

/** The files as a host would hand them to the chain. */
export function sourcesFrom({ logs, texts, hashes }: SeasonFiles, sheet: Season): SeasonSources {
  const chatter = chatterOf(sheet);
  const read = [...logs].map(([path, bytes]) => [path, readLog(path, bytes, chatter)] as const);
  return { logs: new Map(read), chatter, texts, hashes };
}

/** Runs the chain on a simulated season, with other settings where they are given. @throws Error with the sentence when the chain refuses. */
export function runSeason(season: SimulatedSeason, settings: Season['settings'] = {}): SeasonResult {
  const files = filesOf(season);
  const sheet = decodeSeason(files.texts.get('season.json') ?? '');
  if (!sheet.ok) throw new Error(sheet.error.text);
  const changed = { ...sheet.value, settings: { ...sheet.value.settings, ...settings } };
  const result = runPipeline(changed, sourcesFrom(files, changed), {
    progress: () => {},
    shouldStop: () => false,
    generated_by: 'truth table',
  });
  if (!result.ok) throw new Error(result.error.text);
  return result.value;
}

/** Compares one result with the truth, field by field. */
export function compareWithTruth(
  scene: string,
  seed: number,
  season: SimulatedSeason,
  result: SeasonResult,
): Recovery[] {
  const { truth } = season;
  return truth.fields.map((field) => {
    const summary = result.summary.fields.find(({ name }) => name === field.name);
    const points = result.points.find((p) => p.field === field.name);
    if (summary === undefined || points === undefined)
      throw new Error(`${field.name} is missing from the result`);
    const lags = result.summary.lags
      .filter((lag) => lag.field === field.name)
      .map((lag) => {
        const machine = truth.machines.find(({ id }) => id === lag.machine);
        return {
          transport_s: Math.abs((lag.transport_s ?? Number.NaN) - (machine?.transport_s ?? Number.NaN)),
          mixing_s: Math.abs((lag.mixing_s ?? Number.NaN) - (machine?.mixing_s ?? Number.NaN)),
        };
      });
    const tickets = truth.tickets.filter((ticket) => ticket.field === field.name);
    const flagged = new Set(
      result.summary.calibrations.flatMap(({ loads }) => loads.filter((l) => l.flagged).map((l) => l.ticket)),
    );
    const blocks = compareBlocks(field, points);
    return {
      scene,
      seed,
      field: field.name,
      area_error_pct: 100 * ((summary.area_ha * 10_000) / field.area_m2 - 1),
      mass_error_pct: 100 * (summary.mass_std_kg / field.mass_std_kg - 1),
      transport_error_s: Math.max(...lags.map((lag) => lag.transport_s)),
      mixing_error_s: Math.max(...lags.map((lag) => lag.mixing_s)),
      ...blocks,
      mistyped_tickets: tickets.filter(({ mistyped }) => mistyped).length,
      mistyped_flagged: tickets.filter(({ mistyped, ticket }) => mistyped && flagged.has(ticket)).length,
      honest_flagged: tickets.filter(({ mistyped, ticket }) => !mistyped && flagged.has(ticket)).length,
      kept_pct: (100 * summary.points.kept) / Math.max(1, points.pass.filter((pass) => pass >= 0).length),
    };
  });
}

/** 10 m block means of the kept points against the truth's. */
export function compareBlocks(field: FieldTruth, points: FieldPoints) {
  const { isKnown, mean_kg_m2 } = blockMeans(field, points, (i) => points.screened_by[i] === 0);
  const truth: number[] = [];
  const ours: number[] = [];
  const { cut_area_m2, mass_std_kg } = field.blocks_10m;
  isKnown.forEach((known, k) => {
    if (!known) return;
    truth.push(mass_std_kg[k] / cut_area_m2[k]);
    ours.push(mean_kg_m2[k]);
  });
  const meanTruth = truth.reduce((a, b) => a + b, 0) / truth.length;
  const meanOurs = ours.reduce((a, b) => a + b, 0) / ours.length;
  let squares = 0;
  let tt = 0;
  let oo = 0;
  let to = 0;
  truth.forEach((t, k) => {
    squares += (ours[k] - t) ** 2;
    tt += (t - meanTruth) ** 2;
    oo += (ours[k] - meanOurs) ** 2;
    to += (t - meanTruth) * (ours[k] - meanOurs);
  });
  return {
    blocks: truth.length,
    block_rmse_pct: (100 * Math.sqrt(squares / truth.length)) / meanTruth,
    block_r: to / Math.sqrt(tt * oo),
  };
}
