/** The stage line's tiles: for every stage its one figure, and whether it is good, worth a look, or to be mended. */
import type { Summary } from '../../core/result.ts';
import type { Season } from '../../core/season.ts';
import { LEAST_POINTS, SURFACE_DEFAULTS } from '../../core/surface/surface-plan.ts';
import {
  area,
  decimal,
  grainMass,
  massFlow,
  percentOf,
  type Quantity,
  type UnitSystem,
} from '../text/quantities.ts';
import { counted } from '../text/words.ts';
import { bushelOf, fieldsByCrop, totalOf } from './season-figures.ts';
import type { Stage } from './session-state.ts';

export const SURFACE_METHOD_WORDS = {
  kriging: 'kriging',
  inverse_distance: 'inverse distance',
  block_mean: 'plain means',
} as const;

export type StageState = 'good' | 'look' | 'mend' | 'none';

export interface StageTile {
  readonly stage: Stage;
  readonly name: string;
  readonly figure: Quantity;
  /** A few words under the figure. */
  readonly below: string;
  readonly state: StageState;
}

export const STAGE_NAMES: Readonly<Record<Stage, string>> = {
  logs: 'Logs',
  fill: 'Fill',
  flow: 'Flow',
  lag: 'Lag',
  ground: 'Ground',
  screened: 'Screened',
  loads: 'Loads',
  yield: 'Yield',
  surface: 'Surface',
  deliver: 'Deliver',
};

/** A fit that misses unseen loads by more than this is worth a look, %; common practice, no source. */
const LOO_LOOK_PCT = 3;
/** Empty levels that drift by more than this share over a season are worth a look; common practice, no source. */
const DRIFT_LOOK_SHARE = 0.1;
/** A total that rests on fewer loads than this is worth a look; common practice, no source. */
const FEWEST_LOADS = 4;
/** A transport lag that two methods put further apart than this is worth a look, s. */
const LAG_LOOK_S = 2;

/** Tiles of a season before anything was built: what is still missing. */
export function tilesBefore(season: Season): readonly StageTile[] {
  const files = season.logs.reduce((sum, log) => sum + log.files.length, 0);
  const none = (stage: Stage, below = ''): StageTile => tile(stage, { number: '–', unit: '' }, below, 'none');
  const logs = tile(
    'logs',
    { number: String(files), unit: files === 1 ? 'file' : 'files' },
    missingOf(season),
    files > 0 ? 'good' : 'mend',
  );
  return [
    logs,
    ...(['fill', 'flow', 'lag', 'ground', 'screened', 'loads', 'yield', 'surface', 'deliver'] as const).map(
      (stage) => none(stage),
    ),
  ];
}

function missingOf(season: Season): string {
  if (season.machines.length === 0) return 'a machine is missing';
  if (season.fields.length === 0) return 'a field is missing';
  return season.logs.length === 0 ? 'drop your log files here' : 'not built yet';
}

export function stageTiles(season: Season, summary: Summary, units: UnitSystem): readonly StageTile[] {
  return [
    logsTile(summary),
    fillTile(summary),
    flowTile(summary, units),
    lagTile(summary),
    groundTile(summary, units),
    screenedTile(summary),
    loadsTile(summary),
    yieldTile(season, summary, units),
    surfaceTile(season, summary),
    deliverTile(summary),
  ];
}

function tile(stage: Stage, figure: Quantity, below: string, state: StageState): StageTile {
  return { stage, name: STAGE_NAMES[stage], figure, below, state };
}

function logsTile({ inputs }: Summary): StageTile {
  let lines = 0;
  let damaged = 0;
  for (const input of inputs) {
    lines += input.lines;
    for (const count of Object.values(input.damage)) damaged += count;
  }
  const share = lines > 0 ? damaged / lines : 0;
  const below = `${counted(inputs.length, 'file')}, ${decimal(damaged, 0)} lines damaged`;
  // One line in a hundred: common practice, no source.
  return tile('logs', { number: decimal(lines, 0), unit: 'lines' }, below, share > 0.01 ? 'look' : 'good');
}

function fillTile({ signals, health = [] }: Summary): StageTile {
  const levels = signals.flatMap(({ empty_level }) => (empty_level.last === null ? [] : [empty_level.last]));
  if (levels.length === 0) return tile('fill', { number: '–', unit: '' }, 'no beam in these logs', 'none');
  const low = percentOf(Math.min(...levels)).number;
  const high = percentOf(Math.max(...levels)).number;
  const isMeasured = signals.every(({ empty_level }) => empty_level.method === 'measured');
  const drifts = signals.some(
    ({ empty_level: { first, last } }) =>
      first !== null && last !== null && Math.abs(last / first - 1) > DRIFT_LOOK_SHARE,
  );
  const odd = signals.reduce((sum, signal) => sum + signal.odd_paddles.length, 0);
  const figure = { number: low === high ? low : `${low}–${high}`, unit: '%' };
  const alerts = health.flatMap((day) => day.alerts);
  if (alerts.length > 0) {
    const state = alerts.some(({ verdict }) => verdict === 'mend') ? 'mend' : 'look';
    const days = health.filter((day) => day.alerts.length > 0).length;
    return tile('fill', figure, `${counted(days, 'day')} to look at`, state);
  }
  const below =
    odd > 0 ? `${counted(odd, 'odd paddle')}` : isMeasured ? 'empty, measured' : 'empty, not measured';
  return tile('fill', figure, below, isMeasured && !drifts && odd === 0 ? 'good' : 'look');
}

function flowTile(summary: Summary, units: UnitSystem): StageTile {
  const flows = summary.calibrations.flatMap(({ loads }) =>
    loads.flatMap(({ mean_flow_kg_s }) => (mean_flow_kg_s === null ? [] : [mean_flow_kg_s])),
  );
  const paddles = summary.signals.reduce((sum, signal) => sum + signal.paddles, 0);
  const lost = summary.signals.reduce((sum, { missed, hidden }) => sum + missed + hidden, 0);
  const below = paddles > 0 ? `${decimal(paddles, 0)} paddles` : 'as logged';
  // One paddle in a hundred lost: common practice, no source.
  const state = paddles > 0 && lost / paddles > 0.01 ? 'look' : 'good';
  if (flows.length === 0) return tile('flow', { number: decimal(paddles, 0), unit: 'paddles' }, '', state);
  const low = massFlow(Math.min(...flows), units);
  const high = massFlow(Math.max(...flows), units);
  return tile('flow', { number: `${low.number}–${high.number}`, unit: high.unit }, below, state);
}

function lagTile({ lags }: Summary): StageTile {
  if (lags.length === 0) return tile('lag', { number: '–', unit: '' }, 'no flow to shift', 'none');
  const shifts = lags.map(({ transport_s, applied_s }) => transport_s ?? applied_s);
  const low = decimal(Math.min(...shifts), 1);
  const high = decimal(Math.max(...shifts), 1);
  const isWeak = lags.some(({ method }) => method === 'assumed');
  const isSplit = lags.some(
    ({ transport_s, neighbour_transport_s }) =>
      transport_s !== null &&
      neighbour_transport_s !== null &&
      Math.abs(transport_s - neighbour_transport_s) > LAG_LOOK_S,
  );
  const isEntered = lags.some(({ method }) => method === 'entered');
  const below = isWeak
    ? 'assumed for some'
    : isEntered
      ? 'entered by hand'
      : isSplit
        ? 'two methods differ'
        : 'found in the data';
  return tile(
    'lag',
    { number: low === high ? low : `${low}–${high}`, unit: 's' },
    below,
    isWeak || isSplit ? 'look' : 'good',
  );
}

function groundTile({ fields }: Summary, units: UnitSystem): StageTile {
  const area_ha = fields.reduce((sum, field) => sum + field.area_ha, 0);
  return tile('ground', area(area_ha, units), counted(fields.length, 'field'), area_ha > 0 ? 'good' : 'mend');
}

function screenedTile({ mass_ledger }: Summary): StageTile {
  let beam_kg = 0;
  let screened_kg = 0;
  for (const row of mass_ledger) {
    beam_kg += row.beam_kg;
    for (const mass_kg of Object.values(row.screened_kg)) screened_kg += mass_kg;
  }
  if (!(beam_kg > 0)) return tile('screened', { number: '–', unit: '' }, 'no grain', 'none');
  const share = screened_kg / beam_kg;
  // A quarter of the grain off the map makes the map a poor picture; common practice, no source.
  return tile('screened', percentOf(share), 'still in the totals', share > 0.25 ? 'look' : 'good');
}

function loadsTile({ calibrations }: Summary): StageTile {
  const loads = calibrations.flatMap((fit) => fit.loads);
  if (loads.length === 0) return tile('loads', { number: 'none', unit: '' }, 'not calibrated', 'mend');
  const used = loads.filter((load) => load.used).length;
  const flagged = loads.filter((load) => load.flagged).length;
  const isWeak = calibrations.some(
    (fit) =>
      (fit.loo_rmse_pct ?? 0) > LOO_LOOK_PCT || fit.loads.filter((load) => load.used).length < FEWEST_LOADS,
  );
  const below = flagged > 0 ? `${flagged} to look at` : isWeak ? 'weak for some' : 'all agree';
  return tile(
    'loads',
    { number: `${used} of ${loads.length}`, unit: '' },
    below,
    flagged > 0 || isWeak ? 'look' : 'good',
  );
}

function yieldTile(season: Season, summary: Summary, units: UnitSystem): StageTile {
  const { mass_kg, error_kg } = totalOf(summary.fields);
  const share = error_kg === null || !(mass_kg > 0) ? null : (1.96 * error_kg) / mass_kg;
  const below = share === null ? 'no tickets: pattern only' : `± ${percentOf(share).number} %, 95 %`;
  return tile('yield', totalFigure(season, summary, units), below, share === null ? 'look' : 'good');
}

/** Tonnes of all crops together; bushels crop by crop, since a bushel is another weight for each. */
function totalFigure(season: Season, { fields }: Summary, units: UnitSystem): Quantity {
  const totals = [...fieldsByCrop(fields)].map(([crop, ofCrop]) =>
    grainMass(totalOf(ofCrop).mass_kg, bushelOf(season, crop), units),
  );
  const isOneUnit = new Set(totals.map(({ unit }) => unit)).size === 1;
  if (units === 'metric' || totals.length > 2 || !isOneUnit)
    return grainMass(totalOf(fields).mass_kg, Number.NaN, units);
  return { number: totals.map(({ number }) => number).join(' + '), unit: totals[0].unit };
}

function surfaceTile({ settings }: Season, { fields }: Summary): StageTile {
  const { method = SURFACE_DEFAULTS.method, cell_m } = settings?.surface ?? {};
  const cells = cell_m === undefined ? 'cells by the data' : `cells of ${cell_m} m`;
  const isPoor = fields.some(({ points }) => points.kept < LEAST_POINTS);
  return tile(
    'surface',
    { number: SURFACE_METHOD_WORDS[method], unit: '' },
    isPoor ? 'too few points' : cells,
    isPoor ? 'look' : 'good',
  );
}

function deliverTile({ fields }: Summary): StageTile {
  const kept = fields.reduce((sum, field) => sum + field.points.kept, 0);
  return tile(
    'deliver',
    { number: decimal(kept, 0), unit: 'points' },
    'to export',
    kept > 0 ? 'good' : 'mend',
  );
}
