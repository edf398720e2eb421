/** What the user is told about a load fit as a whole. */
import type { Notice } from '../errors.ts';
import type { WeightUnit } from '../read/ticket.ts';
import type { SettingsSheet } from '../season.ts';
import { KG_PER_LB, KG_PER_SHORT_TON, KG_PER_TONNE } from '../units.ts';
import type { LoadFitRow, LoadFitSolution } from './load-fit.ts';
import { LEAST_LOADS_FOR_ENTERED_TWO } from './load-model.ts';
import type { LoadModel } from './ratio-fit.ts';
import { factorText } from './weight-text.ts';

/**
 * Gains outside this range come from a unit or a measure, not from grain: the shape factor of a heap on a paddle is near 1,
 * and bulk densities of one crop differ by a quarter at most. Ours, no source.
 */
const PLAUSIBLE_GAIN = [0.5, 2] as const;
/** Scatter of the loads about the fit above which they are called uneven: several times what scale and beam give. */
const UNEVEN_RMSE_PCT = 3;
/** Greatest over least mean flow below which the loads say little about other flows [Nielsen, Purdue]: span the range. */
const WIDE_FLOW_RANGE = 1.3;
/** Zero error as a share of the mean flow above which the empty level is worth a look. */
const LARGE_ZERO_SHARE = 0.1;
/** Change of the gain from the load of least to that of greatest fill above which the mounting is worth a look. */
const LARGE_GAIN_CHANGE = 0.15;

/** Notices on the number of loads and on the choice of the model. */
export function modelNotices(
  solution: LoadFitSolution,
  choices: NonNullable<SettingsSheet['calibration']>,
  source: string,
): Notice[] {
  const used = solution.rows.filter((row) => row.used).length;
  const notices: Notice[] = [];
  if (used === 0 && solution.prior === undefined) notices.push(noneUsed(solution.rows.length, source));
  if (used === 1)
    notices.push(
      look(
        'one_load',
        source,
        1,
        'A single load gives the gain, but nothing to check it by: no error can be stated. Weigh at least three more, at different flows.',
      ),
    );
  if (used === 2)
    notices.push(
      look(
        'two_loads',
        source,
        2,
        'Two loads give the gain; they cannot show a zero error, nor which is wrong where they disagree. Weigh more, at different flows.',
      ),
    );
  if (
    solution.model === 'gain' &&
    choices.model !== undefined &&
    choices.model !== 'auto' &&
    choices.model !== 'gain'
  )
    notices.push(notFitted(choices.model, solution, source));
  return notices;
}

function noneUsed(loads: number, source: string): Notice {
  const text =
    loads === 0
      ? 'No load to calibrate with: the gain is taken as 1, and yields may be off by a quarter. Add scale tickets.'
      : `${loads === 1 ? 'The only load is' : `All ${loads} loads are`} set aside, so that nothing is calibrated: the gain is taken as 1, and totals may be off by a quarter. Use a load again, or weigh new ones.`;
  return look('uncalibrated', source, Math.max(1, loads), text);
}

const SECOND_TERMS = {
  gain_zero: 'zero error',
  gain_curvature: 'curvature',
  gain_moisture: 'moisture term',
  gain_test_weight: 'test-weight term',
} as const satisfies Record<Exclude<LoadModel, 'gain'>, string>;

const SAME = {
  gain_zero: 'flow',
  gain_curvature: 'flow',
  gain_moisture: 'moisture',
  gain_test_weight: 'test weight',
} as const satisfies Record<Exclude<LoadModel, 'gain'>, string>;

function notFitted(model: Exclude<LoadModel, 'gain'>, { rows }: LoadFitSolution, source: string): Notice {
  const what = SECOND_TERMS[model];
  const used = rows.filter((row) => row.used);
  const reason =
    used.length < LEAST_LOADS_FOR_ENTERED_TWO
      ? `it needs ${LEAST_LOADS_FOR_ENTERED_TWO} loads and has ${used.length}`
      : model === 'gain_curvature' && used.some((row) => Number.isNaN(row.load.x2_kg))
        ? 'the log carries a flow and does not show how high the heaps were'
        : model === 'gain_moisture' && used.some((row) => Number.isNaN(row.load.moisture_pct))
          ? 'a load has no moisture on its tickets'
          : model === 'gain_test_weight' && used.some((row) => row.load.test_weight_share === undefined)
            ? 'a load has no test weight on its tickets, or its log carries mass instead of volume'
            : `all loads have the same ${SAME[model]}, so that a ${what} cannot be told from a gain`;
  const text = `The ${what} asked for was not fitted: ${reason}. A gain alone is used.`;
  return look('model_not_fitted', source, 1, text);
}

/** Notices on what the loads say. */
export function loadFitNotices(solution: LoadFitSolution, source: string): Notice[] {
  return [
    ...flagNotices(solution),
    ...scatterNotices(solution, source),
    ...gainNotices(solution, source),
    ...zeroNotices(solution, source),
    ...curvatureNotices(solution, source),
    ...rangeNotices(solution, source),
  ];
}

function flagNotices({ rows }: LoadFitSolution): Notice[] {
  return rows
    .filter((row) => row.flagged)
    .map((row) => ({
      ...look('load_flagged', row.load.tickets[0].source, 1, `Load ${row.load.ticket}: ${row.why}`),
      line: row.load.tickets[0].line,
    }));
}

function scatterNotices({ rows, fit_rmse_pct }: LoadFitSolution, source: string): Notice[] {
  const used = rows.filter((row) => row.used);
  if (used.length < 2 || !(fit_rmse_pct > UNEVEN_RMSE_PCT)) return [];
  const names = used.map((row) => row.load.ticket).join(', ');
  const text =
    `Loads ${names} scatter by ${fit_rmse_pct.toFixed(1)} % about the fit, more than scale and beam explain, and no one of ` +
    'them stands out as wrong. Check their weights, and their start and end times.';
  return [look('uneven_loads', source, used.length, text)];
}

function gainNotices(solution: LoadFitSolution, source: string): Notice[] {
  const used = solution.rows.filter((row) => row.used);
  const gain = sumOf(used, (row) => row.predicted_kg) / sumOf(used, (row) => row.load.x_kg);
  if (used.length === 0 || (gain >= PLAUSIBLE_GAIN[0] && gain <= PLAUSIBLE_GAIN[1])) return [];
  const cause = likelyUnitMistake(gain, used);
  const text =
    `The scale says ${factorText(gain)} times what the beam does; ${PLAUSIBLE_GAIN[0]} to ${PLAUSIBLE_GAIN[1]} is plausible. ` +
    (cause === undefined
      ? 'Check the unit of the tickets, the paddle and pitch measures, and that the tickets belong to this log.'
      : `Likely ${cause}${cause.startsWith('the tickets') ? ', if the paddle measures are right' : ''}.`);
  return [{ code: 'implausible_gain', severity: 'mend', source, count: 1, text }];
}

/** Factor by which a mistake multiplies the gain, and what it is. Bushels differ by crop and are near enough at 25 kg. */
const UNIT_MISTAKES: readonly (readonly [factor: number, cause: string, columns?: WeightUnit])[] = [
  [1 / KG_PER_LB, 'the tickets are in pounds but their columns say kg', 'kg'],
  [KG_PER_LB, 'the tickets are in kilograms but their columns say lb', 'lb'],
  [KG_PER_TONNE, 'the tickets are in kilograms but their columns say t', 't'],
  [1 / KG_PER_TONNE, 'the tickets are in metric tons but their columns say kg', 'kg'],
  [1 / KG_PER_SHORT_TON, 'the tickets are in US tons but their columns say kg', 'kg'],
  [KG_PER_LB / KG_PER_SHORT_TON, 'the tickets are in US tons but their columns say lb', 'lb'],
  [KG_PER_SHORT_TON / KG_PER_LB, 'the tickets are in pounds but their columns say ston', 'ston'],
  [1 / 25.4, 'the tickets are in bushels, or the paddles are measured in mm where inches were meant'],
  [25.4, 'a paddle measure in season.json is in inches where mm are expected'],
  [25.4 ** 2, 'the paddle width and depth in season.json are in inches where mm are expected'],
  [25.4 ** 3, 'the paddle measures in season.json are in inches where mm are expected'],
];
/** Natural logarithm: within a quarter of the factor, the room that shape and density need. */
const UNIT_MISTAKE_ROOM = 0.25;

/** A mistake in the unit of the tickets is named only where some ticket's column has that unit, or none is known. */
function likelyUnitMistake(gain: number, used: readonly LoadFitRow[]): string | undefined {
  const written = used.flatMap((row) => row.load.tickets.map((ticket) => ticket.written_in));
  const possible = UNIT_MISTAKES.filter(
    ([, , columns]) => columns === undefined || written.includes(columns) || written.includes(undefined),
  );
  const off = ([factor]: (typeof UNIT_MISTAKES)[number]) => Math.abs(Math.log(gain / factor));
  const nearest = possible.sort((a, b) => off(a) - off(b))[0];
  return off(nearest) < UNIT_MISTAKE_ROOM ? nearest[1] : undefined;
}

function zeroNotices({ model, rows, zero_kg_s }: LoadFitSolution, source: string): Notice[] {
  if (model !== 'gain_zero') return [];
  const used = rows.filter((row) => row.used);
  const share =
    (zero_kg_s * sumOf(used, (row) => row.load.running_s)) / sumOf(used, (row) => row.load.scale_kg);
  if (Math.abs(share) < LARGE_ZERO_SHARE) return [];
  const text =
    `The zero error is ${zero_kg_s.toFixed(2)} kg/s, ${Math.abs(100 * share).toFixed(0)} % of the mean flow: the empty level is set too ` +
    `${share > 0 ? 'high' : 'low'}. Look at the empty level before trusting low flows.`;
  return [look('large_zero', source, 1, text)];
}

function curvatureNotices({ rows, curvature }: LoadFitSolution, source: string): Notice[] {
  const used = rows.filter((row) => row.used);
  if (curvature === 0 || used.length === 0) return [];
  const fills = used.map(({ load }) => load.x2_kg / load.x_kg);
  const gain = sumOf(used, (row) => row.predicted_kg) / sumOf(used, (row) => row.load.x_kg);
  const change = (curvature * (Math.max(...fills) - Math.min(...fills))) / gain;
  if (Math.abs(change) < LARGE_GAIN_CHANGE) return [];
  const text =
    `The gain ${change > 0 ? 'rises' : 'falls'} by ${Math.abs(100 * change).toFixed(0)} % from the load of least to that of ` +
    'greatest flow. Check that the beam looks through the middle of the heaps, and weigh loads at all flows at which you harvest.';
  return [look('large_curvature', source, 1, text)];
}

function rangeNotices({ model, rows, covered_flow_kg_s }: LoadFitSolution, source: string): Notice[] {
  const [least, greatest] = covered_flow_kg_s;
  if (model === 'uncalibrated' || rows.filter((row) => row.used).length < 2) return [];
  if (greatest >= WIDE_FLOW_RANGE * least) return [];
  const text =
    `The loads cover mean flows from ${least.toFixed(1)} to ${greatest.toFixed(1)} kg/s only; flows outside are extrapolated. Weigh a load ` +
    'cut at half speed or half width.';
  return [look('narrow_flow_range', source, 1, text)];
}

function sumOf(rows: readonly LoadFitRow[], of: (row: LoadFitRow) => number): number {
  return rows.reduce((total, row) => total + of(row), 0);
}

function look(code: string, source: string, count: number, text: string): Notice {
  return { code, severity: 'look', source, count, text };
}
