/**
 * Which shift is applied to the grain of one machine in one field, and what is said about it: what the user entered wins,
 * then the estimate, then an honest assumption. Logs that already carry a flow stay as logged unless a lag is entered,
 * for somebody else may have shifted them; what the neighbours say is reported, negative numbers included.
 */
import type { Notice } from '../errors.ts';
import type { LagSheet } from '../season.ts';
import type { EndsOfPassesSolution } from './ends-of-passes.ts';
import type { MoistureLagSolution } from './moisture-lag.ts';
import type { NeighbourAgreementSolution } from './neighbour-agreement.ts';

export interface LagChoice {
  readonly transport_s: number;
  readonly mixing_s: number;
  /** NaN when it was entered, assumed or left as logged. */
  readonly transport_se_s: number;
  readonly method: 'entered' | 'ends_of_passes' | 'neighbour_agreement' | 'assumed' | 'as_logged';
  /** Shift applied to the flow: transport plus the mean of the mixing. */
  readonly applied_s: number;
  /** Second opinion of the neighbours on the transport lag; NaN when they could not tell. */
  readonly neighbour_transport_s: number;
  /** Shift applied to the moisture: that of the grain where nothing tells more. */
  readonly moisture_s: number;
  readonly moisture_method: 'entered' | 'neighbour_agreement' | 'as_grain';
  /** NaN when it was entered or is that of the grain. */
  readonly moisture_se_s: number;
}

/** When nothing can be told: the middle of the published range [Beal & Tian 2001: 8–14 s] and a middling mixing. */
export const ASSUMED_TRANSPORT_S = 11;
export const ASSUMED_MIXING_S = 3;
/** The two estimates disagree when they differ by more than this, s, and by so many standard errors. */
const DISAGREEMENT_S = 2;
const DISAGREEMENT_SE = 3;
/** A shift smaller than this is not worth a word about a log that is left as logged, s. */
const AS_LOGGED_TOLERANCE_S = 2;

export interface LagEvidence {
  readonly ends: EndsOfPassesSolution | undefined;
  readonly neighbours: NeighbourAgreementSolution | undefined;
  readonly moisture?: MoistureLagSolution | undefined;
  readonly entered: LagSheet | undefined;
  readonly log: 'beam' | 'flow';
}

/** The sheet's entry that names this field and machine most closely; the last one wins among equals. */
export function enteredLag(
  lags: readonly LagSheet[] | undefined,
  field: string,
  machine: string,
): LagSheet | undefined {
  let best: LagSheet | undefined;
  let bestScore = -1;
  for (const lag of lags ?? []) {
    if (lag.field !== undefined && lag.field !== field) continue;
    if (lag.machine !== undefined && lag.machine !== machine) continue;
    const score = (lag.field !== undefined ? 2 : 0) + (lag.machine !== undefined ? 1 : 0);
    if (score >= bestScore) {
      best = lag;
      bestScore = score;
    }
  }
  return best;
}

/** Weighs the evidence. `where` names field and machine in sentences. */
export function chooseLag(evidence: LagEvidence, where: string): { lag: LagChoice; notices: Notice[] } {
  const { entered, neighbours } = evidence;
  const notices: Notice[] = [];
  const base = fromEstimates(evidence);
  const mixing_s = entered?.mixing_s ?? base.mixing_s;
  const neighbour_transport_s = neighbours === undefined ? Number.NaN : neighbours.shift_s - mixing_s;
  const transport_s = entered?.transport_s ?? base.transport_s;
  const byHand = entered?.transport_s !== undefined;
  const lag: LagChoice = {
    transport_s,
    mixing_s,
    transport_se_s: byHand ? Number.NaN : base.transport_se_s,
    method: byHand ? 'entered' : base.method,
    applied_s: transport_s + mixing_s,
    neighbour_transport_s,
    ...moistureLag(evidence, transport_s + mixing_s),
  };
  notices.push(...opinions(evidence, lag, where));
  return { lag, notices };
}

/** What was entered, else what opposite passes agree on, else the lag of the grain. Logs left as logged keep their moisture. */
function moistureLag(
  { entered, moisture, log }: LagEvidence,
  grain_s: number,
): Pick<LagChoice, 'moisture_s' | 'moisture_method' | 'moisture_se_s'> {
  if (entered?.moisture_s !== undefined) {
    return { moisture_s: entered.moisture_s, moisture_method: 'entered', moisture_se_s: Number.NaN };
  }
  if (moisture !== undefined && log === 'beam') {
    return {
      moisture_s: moisture.shift_s,
      moisture_method: 'neighbour_agreement',
      moisture_se_s: moisture.shift_se_s,
    };
  }
  return { moisture_s: grain_s, moisture_method: 'as_grain', moisture_se_s: Number.NaN };
}

type Base = Pick<LagChoice, 'transport_s' | 'mixing_s' | 'transport_se_s' | 'method'>;

function fromEstimates({ ends, neighbours, entered, log }: LagEvidence): Base {
  if (log === 'flow') return { transport_s: 0, mixing_s: 0, transport_se_s: Number.NaN, method: 'as_logged' };
  if (ends !== undefined) {
    return {
      transport_s: ends.transport_s,
      mixing_s: ends.mixing_s,
      transport_se_s: ends.transport_se_s,
      method: 'ends_of_passes',
    };
  }
  if (neighbours !== undefined) {
    // neighbours see transport and mixing together
    const mixing_s = entered?.mixing_s ?? ASSUMED_MIXING_S;
    return {
      transport_s: neighbours.shift_s - mixing_s,
      mixing_s,
      transport_se_s: Math.hypot(neighbours.shift_se_s, 1),
      method: 'neighbour_agreement',
    };
  }
  return {
    transport_s: ASSUMED_TRANSPORT_S,
    mixing_s: ASSUMED_MIXING_S,
    transport_se_s: Number.NaN,
    method: 'assumed',
  };
}

function opinions({ neighbours, log }: LagEvidence, lag: LagChoice, where: string): Notice[] {
  const one = (code: string, severity: Notice['severity'], text: string): Notice[] => [
    { code, severity, source: where, count: 1, text },
  ];
  if (lag.method === 'assumed') {
    return one(
      'lag_assumed',
      'look',
      `${where}: neither the ends of passes nor neighbouring passes say how long grain takes to the sensor, so ${ASSUMED_TRANSPORT_S} s was assumed. Enter a lag under "settings"."lags" if it is known.`,
    );
  }
  if (log === 'flow' && lag.method === 'as_logged' && neighbours !== undefined) {
    const shift_s = neighbours.shift_s;
    if (Math.abs(shift_s) <= AS_LOGGED_TOLERANCE_S) return [];
    const found = `${shift_s.toFixed(1)} ± ${neighbours.shift_se_s.toFixed(1)} s`;
    return shift_s < 0
      ? one(
          'log_over_shifted',
          'look',
          `${where}: the flow in this log was already shifted, and by too much: opposite passes agree best at ${found}. It was left as logged; enter "transport_s": ${shift_s.toFixed(1)} under "settings"."lags" to put it right.`,
        )
      : one(
          'log_lag_left',
          'look',
          `${where}: opposite passes agree best when the flow is shifted by ${found}. It was left as logged; enter "transport_s": ${shift_s.toFixed(1)} under "settings"."lags" to apply it.`,
        );
  }
  const difference_s = Math.abs(lag.neighbour_transport_s - lag.transport_s);
  const se_s = Math.hypot(neighbours?.shift_se_s ?? 0, lag.transport_se_s || 0);
  if (difference_s > Math.max(DISAGREEMENT_S, DISAGREEMENT_SE * se_s)) {
    const said =
      lag.method === 'entered'
        ? `${lag.transport_s.toFixed(1)} s of transport lag was entered, but neighbouring passes agree best at`
        : `the ends of passes say ${lag.transport_s.toFixed(1)} s of transport lag, neighbouring passes`;
    return one(
      'lag_estimates_disagree',
      'look',
      `${where}: ${said} ${lag.neighbour_transport_s.toFixed(1)} s. Check the antenna's distance to the cutting line and the header switch.`,
    );
  }
  return [];
}
