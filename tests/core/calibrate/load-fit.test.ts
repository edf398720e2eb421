import { describe, expect, test } from 'vitest';
import { calibrationSummary } from '../../../core/calibrate/calibration-summary.ts';
import type { Load } from '../../../core/calibrate/load.ts';
import { applyLoadFit, loadFitStandardError } from '../../../core/calibrate/load-coefficients.ts';
import { estimateLoadFit } from '../../../core/calibrate/load-fit.ts';
import { estimateRegression } from '../../../core/calibrate/regression.ts';
import { relativeTotalError } from '../../../core/calibrate/total-error.ts';
import { MONITOR_KG, SCALE_KG } from '../../reference/nine-loads.ts';
import { Random } from '../../synthetic/random.ts';
import { honestLoads, madeLoad, reweighed } from './made-loads.ts';

const FLOWS_KG_S = [4.1, 6.8, 8.9, 10.2, 12.4, 13.6, 15.9, 18.3, 20.7];
/** The nine invented loads of c_loads.csv (R reference): load 6 carries the ticket of another load. */
const nine = SCALE_KG.map((scale_kg, i) =>
  madeLoad(`L${i + 1}`, scale_kg, MONITOR_KG[i], scale_kg / FLOWS_KG_S[i]),
);
const beam = [4100, 7300, 5200, 9800, 6100, 8700];
const running = [700, 640, 420, 610, 560, 900];
const exact = (k: number, zero_kg_s: number) =>
  beam.map((x, i) => madeLoad(`T${i + 1}`, k * x + zero_kg_s * running[i], x, running[i]));
/** Loads of a sensor whose gain rises with how full the heaps are. */
const bent = (k: number, curvature: number) =>
  beam.map((x, i) => {
    const load = madeLoad(`T${i + 1}`, 0, x, running[i]);
    return reweighed(load, k * x + curvature * load.x2_kg);
  });
const codes = (notices: readonly { code: string }[]) => notices.map((notice) => notice.code);

describe('the fit', () => {
  test('finds a gain, and a gain with a zero error, exactly', () => {
    const gain = estimateLoadFit(exact(0.93, 0)).solution;
    expect(gain).toMatchObject({ model: 'gain', zero_kg_s: 0 });
    expect(gain.k).toBeCloseTo(0.93, 12);
    const zero = estimateLoadFit(exact(1.04, 0.35)).solution;
    expect(zero.model).toBe('gain_zero');
    expect(zero.k).toBeCloseTo(1.04, 10);
    expect(zero.zero_kg_s).toBeCloseTo(0.35, 9);
    expect(applyLoadFit(zero, 1000, 100, 0)).toBeCloseTo(1075, 6);
    expect(zero.fit_rmse_pct).toBeLessThan(1e-9);
  });

  test('finds a gain that bends exactly, and tells it from a zero error', () => {
    const { solution, notices } = estimateLoadFit(bent(0.85, 0.37));
    expect(solution).toMatchObject({ model: 'gain_curvature', zero_kg_s: 0 });
    expect(solution.k).toBeCloseTo(0.85, 10);
    expect(solution.curvature).toBeCloseTo(0.37, 10);
    expect(solution.rows[3].predicted_kg).toBeCloseTo(bent(0.85, 0.37)[3].scale_kg, 6);
    expect(applyLoadFit(solution, 1000, 60, 250)).toBeCloseTo(850 + 92.5, 6);
    expect(solution.rows.some((row) => row.flagged)).toBe(false);
    expect(notices).toEqual([]);
    expect(estimateLoadFit(bent(0.85, 0.37), { model: 'gain_zero' }).solution.loo_rmse_pct).toBeGreaterThan(
      0.3,
    );
  });

  test('one load whose log does not show heaps is enough to leave curvature out', () => {
    const loads = bent(0.85, 0.37).map((load, i) => (i === 2 ? { ...load, x2_kg: Number.NaN } : load));
    expect(estimateLoadFit(loads).solution.curvature).toBe(0);
    const { solution, notices } = estimateLoadFit(loads, { model: 'gain_curvature' });
    expect(solution.model).toBe('gain');
    expect(notices.find((notice) => notice.code === 'model_not_fitted')?.text).toBe(
      'The curvature asked for was not fitted: the log carries a flow and does not show how high the heaps were. A gain alone is used.',
    );
  });

  test('a second coefficient is not recommended for three loads, nor for what scatter alone explains', () => {
    expect(estimateLoadFit(bent(0.85, 0.37).slice(0, 3)).solution.model).toBe('gain');
    const random = new Random(21, 'parsimony');
    const models = Array.from(
      { length: 200 },
      () => estimateLoadFit(honestLoads(random, 7, { k: 0.9, zero_kg_s: 0, scatter: 0.006 })).solution.model,
    );
    expect(models.filter((model) => model === 'gain').length).toBeGreaterThan(150);
  });

  test('sets the wrong one of nine loads aside and comes to R’s gain without it, within the weights', () => {
    const { solution, notices } = estimateLoadFit(nine);
    expect(solution.rows.map((row) => row.flagged)).toEqual(nine.map((_, i) => i === 5));
    expect(solution.rows[5].used).toBe(false);
    // R, lm without load 6: 1.023094778943 unweighted through the origin.
    expect(solution.k).toBeGreaterThan(1.0225);
    expect(solution.k).toBeLessThan(1.0305);
    expect(solution.covered_flow_kg_s[0]).toBeCloseTo(4.1, 12);
    expect(solution.covered_flow_kg_s[1]).toBeCloseTo(20.7, 12);
    expect(codes(notices)).toContain('load_flagged');
  });

  test('rows carry what a regression on the loads in use gives', () => {
    const loads = nine.filter((_, i) => i !== 5);
    const { solution } = estimateLoadFit(loads, { model: 'gain_zero' }, { beam_scatter: 0.01 });
    const weights = Float64Array.from(loads, (load) => {
      const usual = 1.0281; // median ratio of the nine: see below
      return 1 / (load.scale_sigma_kg ** 2 + (0.01 * usual * load.x_kg) ** 2);
    });
    const columns = [
      Float64Array.from(loads, (load) => load.x_kg),
      Float64Array.from(loads, (load) => load.running_s),
    ];
    const scale_kg = Float64Array.from(loads, (load) => load.scale_kg);
    const fit = estimateRegression({ columns, intercept: 'none' }, scale_kg, weights);
    if (!fit.ok) throw new Error(fit.error.text);
    expect(solution.k).toBeCloseTo(fit.value.coefficients[0], 5);
    expect(solution.zero_kg_s).toBeCloseTo(fit.value.coefficients[1], 3);
    for (const [i, row] of solution.rows.entries()) {
      expect(row.error_pct).toBeCloseTo((-100 * fit.value.residuals[i]) / loads[i].scale_kg, 2);
      expect(row.loo_error_pct).toBeCloseTo((-100 * fit.value.loo_residuals[i]) / loads[i].scale_kg, 2);
      expect(row.leverage).toBeCloseTo(fit.value.leverage[i], 3);
    }
  });

  test('leave-one-out error is the error of a fit without the load', () => {
    const loads = honestLoads(new Random(3, 'loo'), 7, { k: 1.2, zero_kg_s: 0.3, scatter: 0.005 });
    // The expected scatter rests on the median ratio, which a load more or less hardly moves: hence 2 decimals.
    for (const model of ['gain', 'gain_zero', 'gain_curvature'] as const) {
      const { solution } = estimateLoadFit(loads, { model });
      for (const [i, row] of solution.rows.entries()) {
        const without = estimateLoadFit(
          loads.filter((_, j) => j !== i),
          { model },
        ).solution;
        const predicted_kg = applyLoadFit(without, loads[i].x_kg, loads[i].running_s, loads[i].x2_kg);
        expect(row.loo_error_pct).toBeCloseTo(100 * (predicted_kg / loads[i].scale_kg - 1), 2);
      }
    }
  });
});

describe('standard errors', () => {
  test('cover the truth about as often as they say', () => {
    const random = new Random(11, 'cover');
    let inside = 0;
    for (let season = 0; season < 400; season++) {
      const { solution } = estimateLoadFit(honestLoads(random, 8, { k: 0.8, zero_kg_s: 0, scatter: 0.008 }), {
        model: 'gain',
      });
      if (Math.abs(solution.k - 0.8) < 2 * loadFitStandardError(solution, 1, 0, 0)) inside++;
    }
    // Two standard errors of t with 7 degrees of freedom: 91 %.
    expect(inside / 400).toBeGreaterThan(0.87);
    expect(inside / 400).toBeLessThan(0.97);
  });

  test('loads that agree by luck do not make it sharper than scale and beam allow', () => {
    const { solution } = estimateLoadFit(exact(1, 0));
    // six exact loads beside the two that the expected scatter counts for: (2 + 0)/(2 + 5) of the variance
    expect(Math.sqrt(solution.covariance[0])).toBeGreaterThan(Math.sqrt(2 / 7) * (0.005 / Math.sqrt(6)));
    const two = estimateLoadFit(exact(1, 0).slice(0, 2)).solution;
    expect(Math.sqrt(two.covariance[0])).toBeGreaterThan(0.003);
  });

  test('of a bent gain cover the truth too, at flows within the loads and for their sum', () => {
    const random = new Random(12, 'cover');
    const flows = Array.from({ length: 7 }, (_, i) => 7 + 2 * i);
    const seasons = 400;
    let inside = 0;
    for (let season = 0; season < seasons; season++) {
      const loads = flows.map((flow_kg_s, i) => {
        const load = madeLoad(`T${i}`, 0, 10_000, 10_000 / flow_kg_s);
        const true_kg = 0.85 * load.x_kg + 0.37 * load.x2_kg;
        return reweighed(load, true_kg * (1 + 0.008 * random.normal()));
      });
      const { solution } = estimateLoadFit(loads, {
        model: 'gain_curvature',
        loads: loads.map(({ ticket }) => ({ ticket, use: true })),
      });
      // A fill of 0.3 on the average, more evenly spread than the loads.
      const off_kg = applyLoadFit(solution, 1e5, 6000, 0.3 * 1e5) - (0.85 + 0.37 * 0.3) * 1e5;
      if (Math.abs(off_kg) < 2 * loadFitStandardError(solution, 1e5, 6000, 0.3 * 1e5)) inside++;
    }
    // Two standard errors of t with 5 degrees of freedom: 90 %.
    expect(inside / seasons).toBeGreaterThan(0.86);
    expect(inside / seasons).toBeLessThan(0.96);
  });

  test('of a total are far below those of its gain, which a curvature makes up for', () => {
    const { solution } = estimateLoadFit(bent(0.85, 0.37));
    const sum = (of: (load: Load) => number) => bent(0.85, 0.37).reduce((total, load) => total + of(load), 0);
    const grain = {
      fit: solution,
      x_kg: sum((load) => load.x_kg),
      running_s: sum((load) => load.running_s),
      x2_kg: sum((load) => load.x2_kg),
      xm_kg: 0,
      by_load_kg: new Map<number, number>(),
    };
    const alone = Math.sqrt(solution.covariance[0]) / solution.k;
    const { relative_se } = relativeTotalError([grain]);
    expect(relative_se).toBeLessThan(0.5 * alone);
    // exact loads: the pooled variance is 2/6 of that of 0.5 %, of the loads' mean and of as much grain that no scale weighed
    // (to a tenth: loads of unlike size do not weigh alike)
    expect(relative_se / (Math.sqrt(2 / 6) * 0.005 * Math.sqrt(2 / 6))).toBeCloseTo(1, 0);
    expect(relative_se).toBeLessThan(1.1 * Math.sqrt(2 / 6) * 0.005 * Math.sqrt(2 / 6));
  });

  test('of a total: grain under one fit shares its error, different fits are independent', () => {
    // known beforehand, so that no load's own scatter comes in
    const prior = { factor: 0.9, se_pct: 1, from: 'last season' };
    const fit = estimateLoadFit([], {}, { prior }).solution;
    const other = estimateLoadFit([], {}, { prior }).solution;
    const grain = { fit, x_kg: 5000, running_s: 600, x2_kg: 1000, xm_kg: 0, by_load_kg: new Map() };
    const of = (...grains: Parameters<typeof relativeTotalError>[0]) =>
      relativeTotalError(grains).relative_se;
    expect(of(grain)).toBeCloseTo(0.01, 12);
    expect(of(grain, grain)).toBeCloseTo(0.01, 12);
    expect(of(grain, { ...grain, fit: other })).toBeCloseTo(0.01 / Math.SQRT2, 12);
    expect(of({ ...grain, fit: estimateLoadFit([]).solution })).toBeNaN();
  });

  test('grow with the share of running time when there is a zero error', () => {
    const { solution } = estimateLoadFit(exact(1, 0.4));
    const steady = loadFitStandardError(solution, 1000, 90, 0);
    expect(loadFitStandardError(solution, 1000, 400, 0)).toBeGreaterThan(2 * steady);
  });
});

describe('few loads', () => {
  test('none: gain 1, and it says so', () => {
    const { solution, notices } = estimateLoadFit([]);
    expect(solution).toMatchObject({ model: 'uncalibrated', k: 1, zero_kg_s: 0 });
    expect(loadFitStandardError(solution, 1, 1, 0)).toBeNaN();
    expect(codes(notices)).toEqual(['uncalibrated']);
  });

  test('one: a gain without an error', () => {
    const { solution, notices } = estimateLoadFit(exact(0.9, 0).slice(0, 1), { model: 'gain_zero' });
    expect(solution.model).toBe('gain');
    expect(solution.k).toBeCloseTo(0.9, 12);
    expect(loadFitStandardError(solution, 1000, 100, 0)).toBeNaN();
    expect(solution.loo_rmse_pct).toBeNaN();
    expect(codes(notices)).toEqual(['one_load', 'model_not_fitted']);
  });

  test('two that disagree: uneven, and neither is accused', () => {
    const loads = exact(0.9, 0).slice(0, 2);
    const { solution, notices } = estimateLoadFit([loads[0], reweighed(loads[1], loads[1].scale_kg * 1.1)]);
    expect(solution.rows.map((row) => row.flagged)).toEqual([false, false]);
    expect(codes(notices)).toEqual(expect.arrayContaining(['two_loads', 'uneven_loads']));
  });

  test('three: the odd one is named, with how little that rests on', () => {
    const loads = exact(0.9, 0).slice(0, 3);
    const { solution } = estimateLoadFit([loads[0], loads[1], reweighed(loads[2], loads[2].scale_kg * 1.12)]);
    expect(solution.rows.map((row) => row.flagged)).toEqual([false, false, true]);
    expect(solution.rows[2].why).toContain('12.0 % more than the other loads expect');
    expect(solution.rows[2].why).toContain('With three loads');
  });

  test('all loads at one flow cannot tell a zero error from a gain', () => {
    const loads = beam.map((x, i) => madeLoad(`T${i}`, x, x, x / 10));
    const { solution, notices } = estimateLoadFit(loads, { model: 'gain_zero' });
    expect(solution.model).toBe('gain');
    expect(codes(notices)).toEqual(['model_not_fitted', 'narrow_flow_range']);
  });
});

describe('the user’s word', () => {
  const wrong = exact(1, 0).map((load, i) => (i === 3 ? reweighed(load, 10_890) : load));

  test('a flagged load is set aside until the user says to use it, and stays flagged', () => {
    const left = estimateLoadFit(wrong).solution;
    expect(left.rows[3]).toMatchObject({ flagged: true, used: false, leverage: Number.NaN });
    expect(left.rows[3].why).toContain('Set aside until you decide.');
    expect(left.k).toBeCloseTo(1, 10);
    const kept = estimateLoadFit(wrong, { loads: [{ ticket: 'T4', use: true }] }).solution;
    expect(kept.rows[3]).toMatchObject({ flagged: true, used: true });
    expect(kept.rows[3].why).toContain('Used, because season.json says so.');
    expect(kept.k).toBeGreaterThan(1.01);
    expect(kept.rows.filter((row) => row.flagged)).toHaveLength(1);
  });

  test('a load set aside is judged by the others and does not speak against them', () => {
    const aside = estimateLoadFit(wrong, {
      loads: [
        { ticket: 'T4', use: false },
        { ticket: 'T1', use: false },
      ],
    }).solution;
    expect(aside.rows.map((row) => row.flagged)).toEqual([false, false, false, true, false, false]);
    expect(aside.rows.map((row) => row.used)).toEqual([false, true, true, false, true, true]);
    expect(aside.rows[0].why).toBe('Set aside in season.json.');
    expect(aside.rows[0].error_pct).toBeCloseTo(0, 9);
  });

  test('the last of two choices for one load counts, whichever of its tickets they name', () => {
    const joined: Load = {
      ...wrong[0],
      ticket: 'A + B',
      tickets: ['A', 'B'].map((ticket) => ({ ...wrong[0].tickets[0], ticket })),
    };
    const loads = [joined, ...wrong.slice(1)];
    const choices = {
      loads: [
        { ticket: 'A', use: true },
        { ticket: 'B', use: false },
      ],
    };
    expect(estimateLoadFit(loads, choices).solution.rows[0].used).toBe(false);
  });

  test('all set aside: uncalibrated, the loads still listed', () => {
    const loads = exact(1.1, 0).slice(0, 2);
    const { solution, notices } = estimateLoadFit(loads, {
      loads: loads.map((load) => ({ ticket: load.ticket, use: false })),
    });
    expect(solution).toMatchObject({ model: 'uncalibrated', k: 1 });
    expect(solution.rows).toHaveLength(2);
    expect(codes(notices)).toContain('uncalibrated');
  });
});

describe('what it says', () => {
  test('two tickets exchanged are both named', () => {
    const loads = exact(1, 0);
    const swapped = loads.map((load, i) =>
      i === 0 ? reweighed(load, loads[3].scale_kg) : i === 3 ? reweighed(load, loads[0].scale_kg) : load,
    );
    const { rows } = estimateLoadFit(swapped).solution;
    expect(rows[0].why).toContain('its ticket and that of load T4 were exchanged');
    expect(rows[3].why).toContain('its ticket and that of load T1 were exchanged');
  });

  test('swapped digits, in the notice too, with file and line', () => {
    const loads = exact(1, 0).map((load, i) => (i === 3 ? reweighed(load, 8900, { line: 7 }) : load));
    const { notices } = estimateLoadFit(loads);
    expect(notices.find((notice) => notice.code === 'load_flagged')).toMatchObject({
      source: 'tickets/tickets.csv',
      line: 7,
      severity: 'look',
      text: expect.stringContaining(
        'Load T4: The scale says 8900 kg, 9.2 % less than the other loads expect.',
      ),
    });
  });

  test.each([
    [2.2046, 'the tickets are in pounds but their columns say kg'],
    [0.4536, 'the tickets are in kilograms but their columns say lb'],
    [1050, 'the tickets are in kilograms but their columns say t'],
    [0.00095, 'the tickets are in metric tons but their columns say kg'],
    [650, 'the paddle width and depth in season.json are in inches'],
    [0.039, 'the tickets are in bushels'],
    [5.7, 'Check the unit of the tickets'],
  ])('a gain of %d is implausible: %s', (k, words) => {
    const notice = estimateLoadFit(exact(k, 0)).notices.find((each) => each.code === 'implausible_gain');
    expect(notice).toMatchObject({ severity: 'mend', text: expect.stringContaining(words) });
  });

  test('a plausible season is silent', () => {
    expect(estimateLoadFit(exact(1.1, 0)).notices).toEqual([]);
  });

  test('a zero error as large as a tenth of the flow points to the empty level', () => {
    const { notices } = estimateLoadFit(exact(0.85, 1.5));
    expect(notices.find((notice) => notice.code === 'large_zero')?.text).toContain(
      'empty level is set too high',
    );
    const negative = estimateLoadFit(exact(1.15, -1.2)).notices;
    expect(negative.find((notice) => notice.code === 'large_zero')?.text).toContain('too low');
  });

  test('a gain that bends by more than heaps usually do points to the mounting', () => {
    const find = (curvature: number) =>
      estimateLoadFit(bent(0.9, curvature), { model: 'gain_curvature' }).notices.find(
        (notice) => notice.code === 'large_curvature',
      )?.text;
    expect(find(0.2)).toBeUndefined();
    expect(find(1.5)).toMatch(/^The gain rises by \d+ % from the load of least to that of greatest flow/);
    expect(find(-1)).toContain('The gain falls by');
  });

  test('loads that scatter without a culprit', () => {
    const factors = [1, 1.07, 0.92, 1.05, 0.94, 1.02];
    const loads = exact(1, 0).map((load, i) => reweighed(load, load.scale_kg * factors[i]));
    const { solution, notices } = estimateLoadFit(loads);
    expect(solution.rows.some((row) => row.flagged)).toBe(false);
    expect(codes(notices)).toContain('uneven_loads');
  });
});

test('the summary has null where there is no number, and only the coefficients that were fitted', () => {
  const one = calibrationSummary(estimateLoadFit(exact(0.9, 0).slice(0, 1)).solution, 'c1', 'corn');
  expect(one).toMatchObject({ model: 'gain', standard_errors: {}, loo_rmse_pct: null });
  expect(Object.keys(one.coefficients)).toEqual(['k']);
  expect(one.loads[0]).toMatchObject({
    ticket: 'T1',
    loo_error_pct: null,
    studentised_residual: null,
    why: '',
  });
  const zero = calibrationSummary(estimateLoadFit(exact(0.9, 0.5)).solution, 'c1', 'corn');
  expect(Object.keys(zero.standard_errors)).toEqual(['k', 'zero_kg_s']);
  expect(JSON.parse(JSON.stringify(zero))).toEqual(zero);
  const curved = calibrationSummary(estimateLoadFit(bent(0.85, 0.37)).solution, 'c1', 'corn');
  expect(Object.keys(curved.coefficients)).toEqual(['k', 'curvature']);
  expect(Object.keys(curved.standard_errors)).toEqual(['k', 'curvature']);
});

test('a load that cannot be fitted is the caller’s mistake', () => {
  expect(() => estimateLoadFit([madeLoad('T1', 1000, 1000, 0)])).toThrow(/"T1" has running_s = 0/);
});
