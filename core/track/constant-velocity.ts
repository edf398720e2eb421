/**
 * Kalman filter and Rauch–Tung–Striebel smoother for a point that moves with nearly constant velocity.
 *
 * State per axis (position, velocity), driven by white acceleration of spectral density q (m²/s³):
 * F = [1 Δ; 0 1], Q = q [Δ³/3 Δ²/2; Δ²/2 Δ] [BarShalom2001 eq 6.2.2-12]; smoother [RauchTungStriebel1965].
 * Measurement noise is alike on both axes, so east and north share one covariance.
 */

/** Positions (and velocities where logged) as measured, metres; all columns of one length, ascending `t_s`. */
export interface Measured {
  readonly t_s: Float64Array;
  readonly east_m: Float64Array;
  readonly north_m: Float64Array;
  /** NaN where no velocity was logged. */
  readonly east_m_s: Float64Array;
  readonly north_m_s: Float64Array;
  /** 0 where the position must not be believed (its row is bridged). */
  readonly used: Uint8Array;
  readonly position_variance_m2: Float64Array;
  readonly velocity_variance_m2_s2: Float64Array;
}

/** States, filtered on the way forward and smoothed in place on the way back. */
export interface MotionStates {
  readonly east_m: Float64Array;
  readonly north_m: Float64Array;
  readonly east_m_s: Float64Array;
  readonly north_m_s: Float64Array;
  readonly p11: Float64Array;
  readonly p12: Float64Array;
  readonly p22: Float64Array;
  /**
   * For the interval from row k to k+1: the spectral density that the smoothed motion itself speaks for,
   * E[wᵀ(Q/q)⁻¹w]/2 a dimension [ShumwayStoffer1982, the M step of EM].
   */
  readonly evident_density: Float64Array;
}

/** Velocity spread before anything is known of it, m/s: no harvester drives faster than twice this. */
const UNKNOWN_VELOCITY_M_S = 4;

export function emptyStates(rows: number): MotionStates {
  const column = () => new Float64Array(rows);
  return {
    east_m: column(),
    north_m: column(),
    east_m_s: column(),
    north_m_s: column(),
    p11: column(),
    p12: column(),
    p22: column(),
    evident_density: column(),
  };
}

/**
 * Smooths rows `from` .. `to` − 1 as one unbroken run, with density `q[k]` between rows k and k+1. Rows before
 * the first believed one are reached by driving backwards from it. At least one row must be believed.
 */
export function smoothConstantVelocity(
  measured: Measured,
  from: number,
  to: number,
  q: Float64Array,
  states: MotionStates,
): void {
  let first = from;
  while (first < to && !measured.used[first]) first++;
  if (first === to) throw new RangeError(`no believed position in rows ${from} to ${to - 1}`);
  startAt(measured, first, states);
  for (let k = first + 1; k < to; k++) {
    predict(measured.t_s[k] - measured.t_s[k - 1], q[k - 1], states, k - 1, k);
    update(measured, k, states);
  }
  states.evident_density[to - 1] = 0;
  for (let k = to - 2; k >= first; k--) smoothBack(measured.t_s[k + 1] - measured.t_s[k], q[k], states, k);
  for (let k = first - 1; k >= from; k--) {
    predict(measured.t_s[k] - measured.t_s[k + 1], q[k], states, k + 1, k);
    states.evident_density[k] = q[k];
  }
}

/** The believed measurement as the state, velocity from the log where it has one. */
export function startAt(measured: Measured, k: number, states: MotionStates): void {
  const known = !Number.isNaN(measured.east_m_s[k]);
  states.east_m[k] = measured.east_m[k];
  states.north_m[k] = measured.north_m[k];
  states.east_m_s[k] = known ? measured.east_m_s[k] : 0;
  states.north_m_s[k] = known ? measured.north_m_s[k] : 0;
  states.p11[k] = measured.position_variance_m2[k];
  states.p12[k] = 0;
  states.p22[k] = known ? measured.velocity_variance_m2_s2[k] : UNKNOWN_VELOCITY_M_S ** 2;
}

/** State of row `target` foreseen from row `source`, Δt later (or, negative, earlier). */
export function predict(dt_s: number, q: number, states: MotionStates, source: number, target: number): void {
  const { p11, p12, p22 } = states;
  const spread_s = Math.abs(dt_s);
  states.east_m[target] = states.east_m[source] + dt_s * states.east_m_s[source];
  states.north_m[target] = states.north_m[source] + dt_s * states.north_m_s[source];
  states.east_m_s[target] = states.east_m_s[source];
  states.north_m_s[target] = states.north_m_s[source];
  const a = p11[source];
  const b = p12[source];
  const c = p22[source];
  p11[target] = a + 2 * dt_s * b + dt_s * dt_s * c + (q * spread_s ** 3) / 3;
  p12[target] = b + dt_s * c + (q * dt_s * spread_s) / 2;
  p22[target] = c + q * spread_s;
}

/** Lets row k's predicted state learn from its position (if believed) and velocity (if logged). */
export function update(measured: Measured, k: number, states: MotionStates): void {
  const { p11, p12, p22 } = states;
  if (measured.used[k]) {
    const innovation_m2 = p11[k] + measured.position_variance_m2[k];
    const gain1 = p11[k] / innovation_m2;
    const gain2 = p12[k] / innovation_m2;
    const east = measured.east_m[k] - states.east_m[k];
    const north = measured.north_m[k] - states.north_m[k];
    states.east_m[k] += gain1 * east;
    states.north_m[k] += gain1 * north;
    states.east_m_s[k] += gain2 * east;
    states.north_m_s[k] += gain2 * north;
    p22[k] -= gain2 * p12[k];
    p12[k] *= 1 - gain1;
    p11[k] *= 1 - gain1;
  }
  if (!Number.isNaN(measured.east_m_s[k])) {
    const innovation_m2_s2 = p22[k] + measured.velocity_variance_m2_s2[k];
    const gain1 = p12[k] / innovation_m2_s2;
    const gain2 = p22[k] / innovation_m2_s2;
    const east = measured.east_m_s[k] - states.east_m_s[k];
    const north = measured.north_m_s[k] - states.north_m_s[k];
    states.east_m[k] += gain1 * east;
    states.north_m[k] += gain1 * north;
    states.east_m_s[k] += gain2 * east;
    states.north_m_s[k] += gain2 * north;
    p11[k] -= gain1 * p12[k];
    p12[k] *= 1 - gain2;
    p22[k] *= 1 - gain2;
  }
}

/** Row k from filtered to smoothed, row k+1 being smoothed already. */
function smoothBack(dt_s: number, q: number, states: MotionStates, k: number): void {
  const { east_m, north_m, east_m_s, north_m_s, p11, p12, p22 } = states;
  const a = p11[k];
  const b = p12[k];
  const c = p22[k];
  // P F', then the predicted covariance and its inverse
  const pf11 = a + dt_s * b;
  const pf21 = b + dt_s * c;
  const m11 = pf11 + dt_s * pf21 + (q * dt_s ** 3) / 3;
  const m12 = pf21 + (q * dt_s ** 2) / 2;
  const m22 = c + q * dt_s;
  const determinant = m11 * m22 - m12 * m12;
  // G = P F' M⁻¹
  const g11 = (pf11 * m22 - b * m12) / determinant;
  const g12 = (b * m11 - pf11 * m12) / determinant;
  const g21 = (pf21 * m22 - c * m12) / determinant;
  const g22 = (c * m11 - pf21 * m12) / determinant;
  const dEast = east_m[k + 1] - east_m[k] - dt_s * east_m_s[k];
  const dNorth = north_m[k + 1] - north_m[k] - dt_s * north_m_s[k];
  const dEastSpeed = east_m_s[k + 1] - east_m_s[k];
  const dNorthSpeed = north_m_s[k + 1] - north_m_s[k];
  east_m[k] += g11 * dEast + g12 * dEastSpeed;
  north_m[k] += g11 * dNorth + g12 * dNorthSpeed;
  east_m_s[k] += g21 * dEast + g22 * dEastSpeed;
  north_m_s[k] += g21 * dNorth + g22 * dNorthSpeed;
  const s11 = p11[k + 1];
  const s12 = p12[k + 1];
  const s22 = p22[k + 1];
  const d11 = s11 - m11;
  const d12 = s12 - m12;
  const d22 = s22 - m22;
  p11[k] = a + g11 * g11 * d11 + 2 * g11 * g12 * d12 + g12 * g12 * d22;
  p12[k] = b + g11 * g21 * d11 + (g11 * g22 + g12 * g21) * d12 + g12 * g22 * d22;
  p22[k] = c + g21 * g21 * d11 + 2 * g21 * g22 * d12 + g22 * g22 * d22;
  // cross covariance of rows k and k+1: G S
  const x11 = g11 * s11 + g12 * s12;
  const x12 = g11 * s12 + g12 * s22;
  const x21 = g21 * s11 + g22 * s12;
  const x22 = g21 * s12 + g22 * s22;
  // covariance of w = x(k+1) − F x(k)
  const f11 = x11 + dt_s * x21;
  const f12 = x12 + dt_s * x22;
  const w11 = s11 - 2 * f11 + p11[k] + 2 * dt_s * p12[k] + dt_s * dt_s * p22[k];
  const w12 = s12 - f12 - x21 + p12[k] + dt_s * p22[k];
  const w22 = s22 - 2 * x22 + p22[k];
  const wEast = east_m[k + 1] - east_m[k] - dt_s * east_m_s[k];
  const wNorth = north_m[k + 1] - north_m[k] - dt_s * north_m_s[k];
  const wEastSpeed = east_m_s[k + 1] - east_m_s[k];
  const wNorthSpeed = north_m_s[k + 1] - north_m_s[k];
  const e11 = 2 * w11 + wEast * wEast + wNorth * wNorth;
  const e12 = 2 * w12 + wEast * wEastSpeed + wNorth * wNorthSpeed;
  const e22 = 2 * w22 + wEastSpeed * wEastSpeed + wNorthSpeed * wNorthSpeed;
  // trace of E[w w'] (Q/q)⁻¹ over the four dimensions of two axes
  states.evident_density[k] = Math.max(
    0,
    ((12 * e11) / dt_s ** 3 - (12 * e12) / dt_s ** 2 + (4 * e22) / dt_s) / 4,
  );
}
