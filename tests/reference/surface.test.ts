/** Variograms, kriging, inverse distance against gstat 2.1-0 on open data, where they are present. */
import { describe, expect, it } from 'vitest';
import { crossValidateKriging } from '../../core/surface/cross-validation.ts';
import { InverseDistance } from '../../core/surface/inverse-distance.ts';
import { type KrigingOptions, OrdinaryKriging } from '../../core/surface/kriging.ts';
import { empiricalVariogram, type MeasuredPlaces } from '../../core/surface/variogram.ts';
import { estimateVariogram, weightedSquares } from '../../core/surface/variogram-fit.ts';
import type { VariogramModel } from '../../core/surface/variogram-model.ts';
import { referenceText } from './reference-data.ts';

const meuse = referenceText('data/meuse.csv');
const meuseFigures = referenceText('values/a_meuse.json');
const corn = referenceText('values/b_points.csv');
const cornFigures = referenceText('values/b_spatial.json');

interface Fit {
  readonly nugget: number;
  readonly psill: number;
  readonly range: number;
}

type Row = Readonly<Record<string, number>>;

function columnsOf(csv: string, east: string, north: string, measured: string): MeasuredPlaces {
  const [header, ...lines] = csv.trim().split('\n');
  const names = header.split(',');
  const column = (name: string) =>
    Float64Array.from(lines, (line) => Number(line.split(',')[names.indexOf(name)]));
  return { east_m: column(east), north_m: column(north), measured: column(measured) };
}

function expectNear(found: number, wanted: number, relative: number): void {
  expect(Math.abs(found - wanted)).toBeLessThanOrEqual(relative * Math.max(Math.abs(wanted), 1e-3));
}

/** Sills and range within 0.5 %; a nugget of zero within a thousandth of the sill. */
function expectFit(model: VariogramModel | undefined, published: Fit): void {
  expect(model).toBeDefined();
  if (model === undefined) return;
  expectNear(model.range_m, published.range, 0.005);
  expectNear(model.partial_sill, published.psill, 0.005);
  if (published.nugget > 0) expectNear(model.nugget, published.nugget, 0.005);
  else expect(model.nugget).toBeLessThan(0.001 * published.psill);
}

/** To 1e-8, relative for points; absolute for blocks, whose sixteen places have other last digits in gstat. */
function expectKriged(
  places: MeasuredPlaces,
  model: VariogramModel,
  options: KrigingOptions,
  wanted: readonly (readonly number[])[],
): void {
  const kriging = new OrdinaryKriging(places, model, options);
  for (const [east_m, north_m, estimate, variance] of wanted) {
    kriging.at(east_m, north_m);
    expectNear(kriging.estimate, estimate, 1e-8);
    if (options.block_m === undefined) expectNear(kriging.variance, variance, 1e-8);
    else expect(Math.abs(kriging.variance - variance)).toBeLessThan(1e-8);
  }
  expect(kriging.ridged).toBe(0);
}

describe.runIf(meuse !== undefined && meuseFigures !== undefined)('zinc by the Meuse, gstat', () => {
  const raw = columnsOf(meuse ?? '', 'x', 'y', 'zinc');
  const places = { ...raw, measured: raw.measured.map(Math.log) };
  const figures = JSON.parse(meuseFigures ?? '{}');
  const nodes: readonly Row[] = figures.nodes ?? [];
  const wanted = (name: string) =>
    nodes.map((node) => [node.x, node.y, node[`${name}_pred`], node[`${name}_var`]]);
  const round: VariogramModel = { shape: 'spherical', nugget: 0.05, partial_sill: 0.59, range_m: 900 };
  const fitted = (fit: Fit): VariogramModel => ({
    shape: 'spherical',
    nugget: fit.nugget,
    partial_sill: fit.psill,
    range_m: fit.range,
  });

  it('has the same distance classes', () => {
    const found = empiricalVariogram(places);
    expect(found.cutoff_m).toBeCloseTo(figures.default_binning.cutoff, 8);
    expect([...found.pairs]).toEqual(figures.empirical.map(({ np }: Row) => np));
    figures.empirical.forEach(({ dist, gamma }: Row, k: number) => {
      expectNear(found.distance_m[k], dist, 1e-9);
      expectNear(found.semivariance[k], gamma, 1e-9);
    });
  });

  it('has the published models', () => {
    const found = empiricalVariogram(places);
    expectFit(estimateVariogram(found, 'spherical')?.model, figures.fit_sph);
    expectFit(estimateVariogram(found, 'exponential')?.model, figures.fit_exp);
    expectFit(
      estimateVariogram(found, 'spherical', { weights: 'pairs' })?.model,
      figures.fit_sph_method1_weights_N,
    );
    expectFit(
      estimateVariogram(found, 'spherical', { weights: 'equal' })?.model,
      figures.fit_sph_method6_ols,
    );
    expect(estimateVariogram(found, 'spherical')?.weighted_squares).toBeLessThanOrEqual(
      figures.fit_sph.SSErr,
    );
    // The published gaussian model is where an iteration stopped; the sum of squares of the best one is 8 % less.
    const { nugget, psill, range, SSErr } = figures.fit_gau;
    const stopped: VariogramModel = { shape: 'gaussian', nugget, partial_sill: psill, range_m: range };
    expectNear(weightedSquares(found, stopped) / SSErr, 1, 1e-9);
    expect(estimateVariogram(found, 'gaussian')?.weighted_squares).toBeLessThan(0.93 * SSErr);
  });

  it('estimates the same points and blocks with the same variances', () => {
    expectKriged(places, round, {}, wanted('fixed_all'));
    expectKriged(places, round, { search: { most: 20 } }, wanted('fixed_n20'));
    expectKriged(places, round, { block_m: 40 }, wanted('fixed_block40'));
    expectKriged(places, fitted(figures.fit_sph), {}, wanted('ok_all'));
    expectKriged(places, fitted(figures.fit_sph), { search: { most: 20 } }, wanted('ok_n20'));
  });

  it('foretells the same when every place is left out in turn', () => {
    const check = (model: VariogramModel, published: Row, most = 155) => {
      const found = crossValidateKriging(places, model, { search: { most } });
      expect(Math.abs(found.figures.mean_error - published.mean_error)).toBeLessThan(1e-9);
      expectNear(found.figures.rmse, published.rmse, 1e-8);
      expectNear(found.figures.mae, published.mae, 1e-8);
      expectNear(found.figures.mean_squared_ratio, published.msdr, 1e-8);
      expectNear(found.figures.correlation, published.cor_obs_pred, 1e-8);
      return found;
    };
    const found = check(fitted(figures.fit_sph), figures.loo_all);
    figures.loo_first10.forEach((row: Row, k: number) => {
      expectNear(found.foretold[k], row.pred, 1e-8);
      expectNear(found.variance[k], row.var, 1e-8);
    });
    check(fitted(figures.fit_sph), figures.loo_n20, 20);
    check(round, figures.loo_fixed_all);
  });
});

describe.runIf(corn !== undefined && cornFigures !== undefined)('a window of a corn field, gstat', () => {
  const places = columnsOf(corn ?? '', 'e', 'n', 'yield');
  const figures = JSON.parse(cornFigures ?? '{}');
  const nodes: readonly Row[] = figures.idw ?? [];

  it('has the same inverse-distance means', () => {
    const check = (name: string, method: InverseDistance) => {
      for (const node of nodes) expectNear(method.at(node.e, node.n), node[name], 1e-9);
    };
    check('idw_p2_nmax12', new InverseDistance(places, { search: { most: 12 } }));
    check('idw_p2_all', new InverseDistance(places));
    check('idw_p3_nmax12', new InverseDistance(places, { power: 3, search: { most: 12 } }));
    check('idw_p2_maxdist15', new InverseDistance(places, { search: { most: 285, within_m: 15 } }));
  });

  it('estimates the same from sixteen neighbours', () => {
    const { nugget, psill, range } = figures.ok_model;
    const model: VariogramModel = { shape: 'exponential', nugget, partial_sill: psill, range_m: range };
    const wanted = nodes.map((node) => [node.e, node.n, node.ok_nmax16, node.ok_nmax16_var]);
    expectKriged(places, model, { search: { most: 16 } }, wanted);
  });

  it('has the same variogram, and the published models', () => {
    const found = empiricalVariogram(places, { cutoff_m: 60, width_m: 4 });
    const wanted: readonly Row[] = figures.variogram_w4_c60;
    expect([...found.pairs]).toEqual(wanted.map(({ np }) => np));
    wanted.forEach(({ dist, gamma }, k) => {
      expectNear(found.distance_m[k], dist, 1e-9);
      expectNear(found.semivariance[k], gamma, 1e-9);
    });
    expectFit(estimateVariogram(found, 'exponential')?.model, figures.fit_exp);
    expectFit(estimateVariogram(found, 'spherical')?.model, figures.fit_sph);
  });

  it('has the same variograms by direction', () => {
    for (const azimuth_deg of [0, 45, 90, 135]) {
      const found = empiricalVariogram(places, { cutoff_m: 60, width_m: 6, azimuth_deg });
      const wanted = (figures.directional as readonly Row[]).filter(({ dir }) => dir === azimuth_deg);
      expect([...found.pairs]).toEqual(wanted.map(({ np }) => np));
      wanted.forEach(({ dist, gamma }, k) => {
        expectNear(found.distance_m[k], dist, 1e-9);
        expectNear(found.semivariance[k], gamma, 1e-9);
      });
    }
  });
});
