/** How well screening finds the planted faults of a scene, and what the map gains by it against one who knows the labels. */
import { type FieldPoints, SCREENING_RULES, type SeasonResult } from '../../core/result.ts';
import { type BlockMeans, blockErrorPct, blockMeans } from './block-means.ts';
import type { FieldMachineTruth, SimulatedSeason } from './index.ts';
import type { ArtefactKind } from './labelled-spans.ts';

export interface KindScore {
  readonly points: number;
  readonly caught: number;
}

export interface FaultScore {
  readonly kinds: ReadonlyMap<ArtefactKind, KindScore>;
  readonly artefacts: number;
  readonly caught: number;
  readonly good: number;
  readonly lost: number;
  /** Which rules took the good points that are lost. */
  readonly lost_by: ReadonlyMap<string, number>;
  readonly neither: number;
  /** Root mean square error of 10 m block means, % of the mean: after screening, of an oracle that knows the labels, and of all points that cut. */
  readonly block_rmse_pct: number;
  readonly oracle_rmse_pct: number;
  readonly unscreened_rmse_pct: number;
}

/** Label of a point: what it suffers from, 'good', or neither. */
type Label = ArtefactKind | 'good' | 'neither';

export function scoreFaults(season: SimulatedSeason, result: SeasonResult): FaultScore {
  const [field] = season.truth.fields;
  const [points] = result.points;
  const labels = labelsOf(points, field.machines[0], result.epoch_utc_s);
  const kinds = new Map<ArtefactKind, { points: number; caught: number }>();
  const lost_by = new Map<string, number>();
  let good = 0;
  let lost = 0;
  labels.forEach((label, i) => {
    const rule = points.screened_by[i];
    if (label === 'neither') return;
    if (label === 'good') {
      good++;
      if (rule === 0) return;
      lost++;
      const name = SCREENING_RULES[rule - 1];
      lost_by.set(name, (lost_by.get(name) ?? 0) + 1);
      return;
    }
    const score = kinds.get(label) ?? { points: 0, caught: 0 };
    score.points++;
    if (rule > 0) score.caught++;
    kinds.set(label, score);
  });
  const sum = (of: (score: KindScore) => number) =>
    [...kinds.values()].reduce((n, score) => n + of(score), 0);
  const means = (isKept: (i: number) => boolean): BlockMeans => blockMeans(field, points, isKept);
  const screened = means((i) => points.screened_by[i] === 0);
  const oracle = means((i) => points.pass[i] >= 0 && (labels[i] === 'good' || labels[i] === 'neither'));
  const all = means((i) => points.pass[i] >= 0 && points.fresh_area_m2[i] > 0);
  const shared = (k: number) => screened.isKnown[k] && oracle.isKnown[k] && all.isKnown[k];
  return {
    kinds,
    artefacts: sum((score) => score.points),
    caught: sum((score) => score.caught),
    good,
    lost,
    lost_by,
    neither: labels.filter((label) => label === 'neither').length,
    block_rmse_pct: blockErrorPct(field, screened, shared),
    oracle_rmse_pct: blockErrorPct(field, oracle, shared),
    unscreened_rmse_pct: blockErrorPct(field, all, shared),
  };
}

function labelsOf(points: FieldPoints, machine: FieldMachineTruth, epoch_utc_s: number): Label[] {
  const start_s = machine.log_start_utc_s - epoch_utc_s;
  return Array.from(points.t_s, (at_s): Label => {
    const t_s = at_s - start_s;
    let label: Label = machine.fresh_m2_by_s[Math.floor(t_s)] > 0 ? 'good' : 'neither';
    for (const { kind, from_s, to_s, before_s, after_s } of machine.labels) {
      if (t_s >= from_s && t_s < to_s) return kind;
      if (t_s >= from_s - before_s && t_s < to_s + after_s) label = 'neither';
    }
    return label;
  });
}
