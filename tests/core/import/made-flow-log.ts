/** An invented log of a machine that drives up and down a field, to be written in any style of table. */
import { localFrame } from '../../../core/track/local-frame.ts';
import { Random } from '../../synthetic/random.ts';

/** One row a time step, SI; angles in degrees. */
export interface MadeRow {
  readonly utc_s: number;
  readonly longitude_deg: number;
  readonly latitude_deg: number;
  readonly heading_deg: number;
  readonly speed_m_s: number;
  readonly distance_m: number;
  readonly swath_m: number;
  readonly flow_kg_s: number;
  readonly moisture_pct: number;
  readonly altitude_m: number;
  /** 1 while turning. */
  readonly up: number;
}

export interface MadeLogSpec {
  readonly longitude_deg: number;
  readonly latitude_deg: number;
  readonly start_utc: string;
  readonly step_s: number;
  readonly swath_m: number;
  readonly passes: number;
  readonly rows_a_pass: number;
}

const SPEC: MadeLogSpec = {
  longitude_deg: -96.4,
  latitude_deg: 41.7,
  start_utc: '2026-10-05T16:20:00Z',
  step_s: 1,
  swath_m: 9.144,
  passes: 10,
  rows_a_pass: 110,
};

/** Passes side by side with turns of ten rows between them, header up; about 10 t/ha. */
export function madeRows(patch: Partial<MadeLogSpec> = {}): MadeRow[] {
  const spec = { ...SPEC, ...patch };
  const random = new Random(11, 'flow log');
  const frame = localFrame(spec.longitude_deg, spec.latitude_deg);
  const rows: MadeRow[] = [];
  let utc_s = Date.parse(spec.start_utc) / 1000;
  for (let pass = 0; pass < spec.passes; pass++) {
    const north = pass % 2 === 0;
    let along_m = north ? 0 : 2 * spec.rows_a_pass * spec.step_s;
    for (let k = 0; k < spec.rows_a_pass + 10; k++) {
      const turning = k >= spec.rows_a_pass;
      const speed_m_s = turning ? 1 : 2 + 0.3 * Math.sin(k / 9) + 0.02 * random.normal();
      const distance_m = speed_m_s * spec.step_s;
      if (!turning) along_m += north ? distance_m : -distance_m;
      const across_m = spec.swath_m * (pass + (turning ? (k - spec.rows_a_pass + 1) / 10 : 0));
      const { longitude_deg, latitude_deg } = frame.toGeographic([across_m], [along_m]);
      const fill = 1 + 0.2 * Math.sin(along_m / 40) + 0.05 * random.normal();
      rows.push({
        utc_s,
        longitude_deg: longitude_deg[0],
        latitude_deg: latitude_deg[0],
        heading_deg: turning ? 90 : north ? 0 : 180,
        speed_m_s,
        distance_m,
        swath_m: turning ? 0 : spec.swath_m,
        flow_kg_s: turning ? 0 : speed_m_s * spec.swath_m * fill,
        moisture_pct: 17 + 0.8 * Math.sin(along_m / 60) + 0.1 * random.normal(),
        altitude_m: 310 + along_m / 100,
        up: turning ? 1 : 0,
      });
      utc_s += spec.step_s;
    }
  }
  return rows;
}

/** A table of text: heading → the cell of a row. */
export function tableText(
  rows: readonly MadeRow[],
  columns: readonly (readonly [heading: string, cell: (row: MadeRow, i: number) => string | number])[],
  {
    delimiter = ',',
    header = true,
    decimal = '.',
  }: { delimiter?: string; header?: boolean; decimal?: string } = {},
): string {
  const lines = header ? [columns.map(([heading]) => heading).join(delimiter)] : [];
  rows.forEach((row, i) => {
    const cells = columns.map(([, cell]) => {
      const written = cell(row, i);
      return typeof written === 'number' ? String(written).replace('.', decimal) : written;
    });
    lines.push(cells.join(delimiter));
  });
  return `${lines.join('\n')}\n`;
}
