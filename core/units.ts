/**
 * Conversion factors, each written once, with its source. Inside the program everything is SI; these serve the edges:
 * readers, exports and display. Functions are named `xFromY`, take and give plain numbers, and pass NaN through.
 *
 * Sources: [NIST SP 811] = Thompson & Taylor 2008, Guide for the Use of the SI, appendix B;
 * [NIST HB 44] = Handbook 44, appendix C, General Tables of Units of Measurement.
 */

/** International avoirdupois pound, exact [NIST SP 811]. */
export const KG_PER_LB = 0.45359237;
/** Short (US) ton of 2000 lb, exact [NIST HB 44]. */
export const KG_PER_SHORT_TON = 2000 * KG_PER_LB;
/** Metric ton, exact [NIST SP 811]. */
export const KG_PER_TONNE = 1000;

/** International inch, exact [NIST SP 811]. */
export const M_PER_IN = 0.0254;
/** International foot, exact [NIST SP 811]. */
export const M_PER_FT = 0.3048;
/** International mile, 5280 ft, exact [NIST SP 811]. */
export const M_PER_MILE = 5280 * M_PER_FT;
/** Nautical mile, exact [NIST SP 811]. */
export const M_PER_NAUTICAL_MILE = 1852;
export const S_PER_HOUR = 3600;

/**
 * International acre, 43,560 ft², exact. The US survey acre is 4 parts in a million larger and was retired at the
 * end of 2022 [NIST HB 44].
 */
export const M2_PER_ACRE = 43_560 * M_PER_FT ** 2;
export const M2_PER_HA = 10_000;

/** US (Winchester) bushel of 2150.42 cubic inches, exact [NIST HB 44]. Only for test weight: grain is sold by weight bushels. */
export const M3_PER_US_BUSHEL = 2150.42 * M_PER_IN ** 3;
export const M3_PER_L = 1e-3;
/** 1 kg/hL in kg/m³. */
export const KG_M3_PER_KG_HL = 10;

const RAD_PER_DEG = Math.PI / 180;

export const kgFromLb = (mass_lb: number): number => mass_lb * KG_PER_LB;
export const lbFromKg = (mass_kg: number): number => mass_kg / KG_PER_LB;
export const kgFromShortTons = (mass_ston: number): number => mass_ston * KG_PER_SHORT_TON;
export const shortTonsFromKg = (mass_kg: number): number => mass_kg / KG_PER_SHORT_TON;
export const kgFromTonnes = (mass_t: number): number => mass_t * KG_PER_TONNE;
export const tonnesFromKg = (mass_kg: number): number => mass_kg / KG_PER_TONNE;

export const mFromIn = (length_in: number): number => length_in * M_PER_IN;
export const inFromM = (length_m: number): number => length_m / M_PER_IN;
export const mFromFt = (length_ft: number): number => length_ft * M_PER_FT;
export const ftFromM = (length_m: number): number => length_m / M_PER_FT;

export const mPerSFromMph = (speed_mph: number): number => (speed_mph * M_PER_MILE) / S_PER_HOUR;
export const mphFromMPerS = (speed_m_s: number): number => (speed_m_s * S_PER_HOUR) / M_PER_MILE;
export const mPerSFromKnots = (speed_kn: number): number => (speed_kn * M_PER_NAUTICAL_MILE) / S_PER_HOUR;
export const knotsFromMPerS = (speed_m_s: number): number => (speed_m_s * S_PER_HOUR) / M_PER_NAUTICAL_MILE;
export const mPerSFromKmh = (speed_km_h: number): number => (speed_km_h * 1000) / S_PER_HOUR;
export const kmhFromMPerS = (speed_m_s: number): number => (speed_m_s * S_PER_HOUR) / 1000;

export const m2FromAcres = (area_ac: number): number => area_ac * M2_PER_ACRE;
export const acresFromM2 = (area_m2: number): number => area_m2 / M2_PER_ACRE;
export const m2FromHa = (area_ha: number): number => area_ha * M2_PER_HA;
export const haFromM2 = (area_m2: number): number => area_m2 / M2_PER_HA;

export const m3FromUsBushels = (volume_bu: number): number => volume_bu * M3_PER_US_BUSHEL;
export const usBushelsFromM3 = (volume_m3: number): number => volume_m3 / M3_PER_US_BUSHEL;
export const m3FromL = (volume_l: number): number => volume_l * M3_PER_L;
export const lFromM3 = (volume_m3: number): number => volume_m3 / M3_PER_L;

/** Test weight in lb per (volume) bushel to kg/m³: 1 lb/bu = 12.871859781 kg/m³. */
export const kgM3FromLbBu = (test_weight_lb_bu: number): number =>
  (test_weight_lb_bu * KG_PER_LB) / M3_PER_US_BUSHEL;
export const lbBuFromKgM3 = (density_kg_m3: number): number => (density_kg_m3 * M3_PER_US_BUSHEL) / KG_PER_LB;
/** Test weight in kg/hL to kg/m³. */
export const kgM3FromKgHl = (test_weight_kg_hl: number): number => test_weight_kg_hl * KG_M3_PER_KG_HL;
export const kgHlFromKgM3 = (density_kg_m3: number): number => density_kg_m3 / KG_M3_PER_KG_HL;

export const tHaFromKgM2 = (yield_kg_m2: number): number => (yield_kg_m2 * M2_PER_HA) / KG_PER_TONNE;
export const kgM2FromTHa = (yield_t_ha: number): number => (yield_t_ha * KG_PER_TONNE) / M2_PER_HA;
/** Yield in *weight* bushels per acre; `bushel_kg` is the crop's legal bushel weight (NaN when it has none: NaN). */
export const buAcFromKgM2 = (yield_kg_m2: number, bushel_kg: number): number =>
  (yield_kg_m2 * M2_PER_ACRE) / bushel_kg;
export const kgM2FromBuAc = (yield_bu_ac: number, bushel_kg: number): number =>
  (yield_bu_ac * bushel_kg) / M2_PER_ACRE;

export const radFromDeg = (angle_deg: number): number => angle_deg * RAD_PER_DEG;
export const degFromRad = (angle_rad: number): number => angle_rad / RAD_PER_DEG;
