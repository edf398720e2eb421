/**
 * Published and invented strip trials. Figures of `R` are by R 4.2.2 (`t.test`, `lm`, `anova`, `qt`), printed to 12 or 13 digits.
 */

/** INVENTED pairs, bu/ac, and what R makes of them. */
export const INVENTED_PAIRS = {
  a: [182.4, 176.9, 190.2, 168.7, 185.5, 179.3, 171.8],
  b: [178.1, 175.2, 184.6, 170.3, 180.9, 175, 169.4],
  R: {
    mean_difference: 3.042857142857,
    se: 0.9244965535636,
    t: 3.291366669922,
    df: 6,
    p: 0.01658549787004,
    interval_95: [0.7806955695996, 5.305018716115],
    interval_90: [1.246393670568, 4.839320615146],
    welch: { t: 0.8639759180138, df: 10.948272302427, p: 0.4061318487817 },
    blocks: { df: 6, ss: 503.017142857142 },
    treatments: { df: 1, ss: 32.406428571429, F: 10.833094555874 },
    error: { df: 6, ss: 17.948571428572 },
  },
} as const;

/** Student (1908), Biometrika 6:1–25: hours of sleep gained by two drugs; differences −1.58, SD 1.229995. */
export const STUDENT_SLEEP = {
  a: [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0, 2],
  b: [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4],
  mean_difference: -1.58,
  t: -4.062128,
  p: 0.00283289,
} as const;

/** Gomez & Gomez (1984) Table 2.5: rice, kg/ha, six seeding rates (rows) in four blocks; printed F 2.17, cv 6.7 %. */
export const GOMEZ_SEED_RATE = {
  yields: [
    [5113, 5398, 5307, 4678],
    [5346, 5952, 4719, 4264],
    [5272, 5713, 5483, 4749],
    [5164, 4831, 4986, 4410],
    [4804, 4848, 4432, 4748],
    [5254, 4542, 4919, 4098],
  ],
  R: {
    blocks: { df: 3, ss: 1944360.83333333, F: 5.862243055632, p: 0.007415778315022 },
    treatments: { df: 5, ss: 1198330.83333333, F: 2.167778681495, p: 0.1128094126348 },
    error: { df: 15, ss: 1658376.16666667, ms: 110558.411111111 },
    means: [5124, 5070.25, 5304.25, 4847.75, 4708, 4703.25],
    cv_pct: 6.704257745616,
    lsd_05: 501.13640505709,
    one_way: { F: 1.197420461166, p: 0.3496705003898, error_ss: 3602737 },
  },
} as const;
