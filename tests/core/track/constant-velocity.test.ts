/**
 * The smoother against the same problem solved whole: for a linear Gaussian model the smoothed states are the
 * weighted least squares solution over all rows at once, and their covariance its inverse normal matrix.
 */
import { describe, expect, it } from 'vitest';
import { emptyStates, type Measured, smoothConstantVelocity } from '../../../core/track/constant-velocity.ts';
import { Random } from '../../synthetic/random.ts';

const T_S = [0, 1, 2.5, 3, 5, 6];
const Q = [0.3, 0.01, 0.2, 0.05, 0.1];
/** The prior of a velocity that is not logged, (4 m/s)². */
const VELOCITY_PRIOR = 16;

function measuredOf(seed: number, withVelocity: boolean, used: readonly number[]): Measured {
  const noise = new Random(seed, 'track');
  const column = (scale: number) => Float64Array.from(T_S, () => scale * noise.normal());
  const velocity = () => (withVelocity ? column(2) : column(2).fill(Number.NaN));
  return {
    t_s: Float64Array.from(T_S),
    east_m: column(5),
    north_m: column(5),
    east_m_s: velocity(),
    north_m_s: velocity(),
    used: Uint8Array.from(used),
    position_variance_m2: Float64Array.from(T_S, (_, k) => 0.1 + 0.05 * k),
    velocity_variance_m2_s2: Float64Array.from(T_S, (_, k) => 0.2 + 0.03 * k),
  };
}

/** Normal matrix of the states (p0, v0, p1, v1, …) and right side for one axis. */
function normalEquations(measured: Measured, position: Float64Array, velocity: Float64Array) {
  const n = 2 * T_S.length;
  const matrix = Array.from({ length: n }, () => new Float64Array(n));
  const right = new Float64Array(n);
  const add = (row: Map<number, number>, observed: number, weight: number) => {
    for (const [i, a] of row) {
      right[i] += weight * a * observed;
      for (const [j, b] of row) matrix[i][j] += weight * a * b;
    }
  };
  for (let k = 0; k < T_S.length; k++) {
    if (measured.used[k]) add(new Map([[2 * k, 1]]), position[k], 1 / measured.position_variance_m2[k]);
    if (!Number.isNaN(velocity[k]))
      add(new Map([[2 * k + 1, 1]]), velocity[k], 1 / measured.velocity_variance_m2_s2[k]);
  }
  if (Number.isNaN(velocity[0])) add(new Map([[1, 1]]), 0, 1 / VELOCITY_PRIOR);
  for (let k = 0; k + 1 < T_S.length; k++) {
    const dt = T_S[k + 1] - T_S[k];
    // Q⁻¹ = [12/Δ³ −6/Δ²; −6/Δ² 4/Δ] / q, as L L' by hand
    const l11 = Math.sqrt(12 / dt ** 3 / Q[k]);
    const l21 = -6 / dt ** 2 / Q[k] / l11;
    const l22 = Math.sqrt(4 / dt / Q[k] - l21 ** 2);
    const w1 = new Map([
      [2 * k + 2, 1],
      [2 * k, -1],
      [2 * k + 1, -dt],
    ]);
    const w2 = new Map([
      [2 * k + 3, 1],
      [2 * k + 1, -1],
    ]);
    const whitened = new Map<number, number>();
    for (const [i, a] of w1) whitened.set(i, (whitened.get(i) ?? 0) + l11 * a);
    for (const [i, a] of w2) whitened.set(i, (whitened.get(i) ?? 0) + l21 * a);
    add(whitened, 0, 1);
    add(new Map([...w2].map(([i, a]) => [i, l22 * a])), 0, 1);
  }
  return { matrix, right };
}

/** Gauss–Jordan: the inverse of a small well-conditioned matrix. */
function inverse(matrix: readonly Float64Array[]): Float64Array[] {
  const n = matrix.length;
  const work = matrix.map((row, i) =>
    Float64Array.from({ length: 2 * n }, (_, j) => (j < n ? row[j] : j - n === i ? 1 : 0)),
  );
  for (let i = 0; i < n; i++) {
    const pivot = work[i][i];
    for (let j = 0; j < 2 * n; j++) work[i][j] /= pivot;
    for (let r = 0; r < n; r++) {
      if (r === i) continue;
      const factor = work[r][i];
      for (let j = 0; j < 2 * n; j++) work[r][j] -= factor * work[i][j];
    }
  }
  return work.map((row) => row.slice(n));
}

const solve = (inverted: readonly Float64Array[], right: Float64Array) =>
  inverted.map((row) => row.reduce((sum, a, j) => sum + a * right[j], 0));

describe('smoothConstantVelocity', () => {
  it.each([
    ['positions and velocities', true, [1, 1, 1, 1, 1, 1]],
    ['positions alone', false, [1, 1, 1, 1, 1, 1]],
    ['a position left out', true, [1, 1, 0, 1, 0, 1]],
  ] as const)('%s: the least squares solution of all rows at once', (_, withVelocity, used) => {
    const measured = measuredOf(4, withVelocity, used);
    const states = emptyStates(T_S.length);
    smoothConstantVelocity(measured, 0, T_S.length, Float64Array.from([...Q, 0]), states);
    const east = normalEquations(measured, measured.east_m, measured.east_m_s);
    const north = normalEquations(measured, measured.north_m, measured.north_m_s);
    const covariance = inverse(east.matrix);
    const eastStates = solve(covariance, east.right);
    const northStates = solve(covariance, north.right);
    for (let k = 0; k < T_S.length; k++) {
      expect(states.east_m[k]).toBeCloseTo(eastStates[2 * k], 8);
      expect(states.east_m_s[k]).toBeCloseTo(eastStates[2 * k + 1], 8);
      expect(states.north_m[k]).toBeCloseTo(northStates[2 * k], 8);
      expect(states.north_m_s[k]).toBeCloseTo(northStates[2 * k + 1], 8);
      expect(states.p11[k]).toBeCloseTo(covariance[2 * k][2 * k], 8);
      expect(states.p12[k]).toBeCloseTo(covariance[2 * k][2 * k + 1], 8);
      expect(states.p22[k]).toBeCloseTo(covariance[2 * k + 1][2 * k + 1], 8);
    }
    for (let k = 0; k + 1 < T_S.length; k++) {
      const dt = T_S[k + 1] - T_S[k];
      // w = (p' − p − Δv, v' − v) of both axes: squares and covariance
      const rows = [
        [
          [2 * k + 2, 1],
          [2 * k, -1],
          [2 * k + 1, -dt],
        ],
        [
          [2 * k + 3, 1],
          [2 * k + 1, -1],
        ],
      ];
      const of = (states_: readonly number[], r: number) =>
        rows[r].reduce((sum, [i, a]) => sum + a * states_[i], 0);
      const moment = (a: number, b: number) =>
        of(eastStates, a) * of(eastStates, b) +
        of(northStates, a) * of(northStates, b) +
        2 *
          rows[a].reduce(
            (sum, [i, x]) => sum + rows[b].reduce((part, [j, y]) => part + x * y * covariance[i][j], 0),
            0,
          );
      const density =
        ((12 / dt ** 3) * moment(0, 0) - (12 / dt ** 2) * moment(0, 1) + (4 / dt) * moment(1, 1)) / 4;
      expect(states.evident_density[k]).toBeCloseTo(density, 7);
    }
  });

  it('rows before the first believed one are reached by driving backwards', () => {
    const measured = measuredOf(5, true, [0, 0, 1, 1, 1, 1]);
    for (const column of [measured.east_m_s, measured.north_m_s]) column.fill(Number.NaN);
    const states = emptyStates(T_S.length);
    smoothConstantVelocity(measured, 0, T_S.length, Float64Array.from([...Q, 0]), states);
    expect(states.east_m[0]).toBeCloseTo(states.east_m[2] - 2.5 * states.east_m_s[2], 9);
    expect(states.p11[0]).toBeGreaterThan(states.p11[2]);
  });

  it('refuses a run without any believed position', () => {
    const measured = measuredOf(6, true, [0, 0, 0, 0, 0, 0]);
    expect(() => smoothConstantVelocity(measured, 0, 6, new Float64Array(6), emptyStates(6))).toThrow(
      /0 to 5/,
    );
  });
});
