/** What a time log tells of each point: entries of the data dictionary ISO 11783-11 with their own whole units. */
import { massAtMoisture } from '../../../grain/moisture.ts';
import type { ExportLayer } from '../../layers/layer.ts';
import { numbersNamed } from '../layer-values.ts';

/** How a person is shown the whole numbers of an entry: `number · scale` with so many digits and the unit behind. */
export interface Presentation {
  readonly scale: string;
  readonly digits: number;
  readonly unit: string;
}

export interface LoggedQuantity {
  /** Number of the entry (DDI). */
  readonly ddi: number;
  readonly name: string;
  readonly presentation?: Presentation;
  /** Bits of ISO 11783-10 for when a device reports it: 1 by time, 8 on change. */
  readonly triggers: number;
  /** In the entry's own unit, NaN where absent, by row of the layer; `undefined` where the layer cannot tell at all. */
  readonly of: (layer: ExportLayer) => ((row: number) => number) | undefined;
}

/** mg/m² in a t/ha, mg/s in a kg/s, ppm in a per cent, mm in a metre [C, from the definitions]. */
const MG_M2_PER_T_HA = 1e5;
const MG_S_PER_KG_S = 1e6;
const PPM_PER_PCT = 1e4;
const MM_PER_M = 1e3;

const BY_TIME = 1;
const ON_CHANGE = 8;

/** Names and units of the entries as the data dictionary has them (export of isobus.net of January 2025). */
export const LOGGED_QUANTITIES: readonly LoggedQuantity[] = [
  {
    ddi: 84,
    name: 'Mass per area yield',
    presentation: { scale: '0.00001', digits: 3, unit: 't/ha' },
    triggers: BY_TIME,
    // as harvested: not corrected to the reference moisture
    of: (layer) => {
      const [yields, moistures] = [numbersNamed(layer, 'yield_t_ha'), numbersNamed(layer, 'moisture_pct')];
      const standard_pct = layer.standard_moisture_pct;
      if (yields === undefined || moistures === undefined || standard_pct === undefined) return undefined;
      return (row) =>
        massAtMoisture(yields.numbers[row] * MG_M2_PER_T_HA, standard_pct, moistures.numbers[row]);
    },
  },
  {
    ddi: 181,
    name: 'Dry mass per area yield',
    presentation: { scale: '0.00001', digits: 3, unit: 't/ha' },
    triggers: BY_TIME,
    // at the reference moisture of 184
    of: (layer) =>
      layer.standard_moisture_pct === undefined ? undefined : scaled(layer, 'yield_t_ha', MG_M2_PER_T_HA),
  },
  {
    ddi: 184,
    name: 'Reference moisture',
    presentation: { scale: '0.0001', digits: 2, unit: '%' },
    triggers: ON_CHANGE,
    of: ({ standard_moisture_pct }) =>
      standard_moisture_pct === undefined ? undefined : () => standard_moisture_pct * PPM_PER_PCT,
  },
  {
    ddi: 87,
    name: 'Mass per time yield',
    presentation: { scale: '0.000001', digits: 3, unit: 'kg/s' },
    triggers: BY_TIME,
    of: (layer) => scaled(layer, 'mass_flow_kg_s', MG_S_PER_KG_S),
  },
  {
    ddi: 99,
    name: 'Crop moisture',
    presentation: { scale: '0.0001', digits: 2, unit: '%' },
    triggers: BY_TIME,
    of: (layer) => scaled(layer, 'moisture_pct', PPM_PER_PCT),
  },
  {
    ddi: 67,
    name: 'Actual working width',
    presentation: { scale: '0.001', digits: 3, unit: 'm' },
    triggers: BY_TIME,
    of: (layer) => scaled(layer, 'cut_width_m', MM_PER_M),
  },
  {
    ddi: 397,
    name: 'Actual speed',
    presentation: { scale: '0.001', digits: 3, unit: 'm/s' },
    triggers: BY_TIME,
    of: (layer) => scaled(layer, 'speed_m_s', MM_PER_M),
  },
  {
    ddi: 141,
    name: 'Actual work state',
    triggers: BY_TIME + ON_CHANGE,
    // 1 within a pass, 0 outside
    of: (layer) => {
      const passes = numbersNamed(layer, 'pass');
      return passes && ((row) => (Number.isFinite(passes.numbers[row]) ? 1 : 0));
    },
  },
];

/** Four hexadecimal digits, as task data write them. */
export function ddiText(ddi: number): string {
  return ddi.toString(16).toUpperCase().padStart(4, '0');
}

function scaled(layer: ExportLayer, name: string, factor: number): ((row: number) => number) | undefined {
  const column = numbersNamed(layer, name);
  return column && ((row) => column.numbers[row] * factor);
}
