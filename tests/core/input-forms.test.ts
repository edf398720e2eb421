/** One simulated season in every form that loggers write; each must lead to the truth. */
import { describe, expect, it } from 'vitest';
import type { SeasonResult } from '../../core/result.ts';
import type { Season } from '../../core/season.ts';
import { plain, type Scene, type SimulatedSeason, simulate } from '../synthetic/index.ts';
import { compareWithTruth, runSeason } from '../synthetic/recovery.ts';

type LoggerPatch = Partial<Scene['spec']['machines'][number]['logger']>;

const season = (logger: LoggerPatch) => simulate(plain(1).everyMachine({ logger }));
const sheetOf = ({ files }: SimulatedSeason): Season => JSON.parse(textOf(files, 'season.json'));
const textOf = (files: SimulatedSeason['files'], path: string) => new TextDecoder().decode(files.get(path));
const bytes = (text: string) => new TextEncoder().encode(text);

function withFiles(
  simulated: SimulatedSeason,
  sheet: Season,
  logs: ReadonlyMap<string, string>,
): SimulatedSeason {
  const files = new Map([...simulated.files].filter(([path]) => !path.startsWith('logs/')));
  for (const [path, text] of logs) files.set(path, bytes(text));
  files.set('season.json', bytes(JSON.stringify(sheet)));
  return { ...simulated, files };
}

/** Runs the chain and holds it to the truth. */
function found(simulated: SimulatedSeason, area_pct = 0.15): SeasonResult {
  const result = runSeason(simulated);
  const [recovery] = compareWithTruth('plain', 1, simulated, result);
  expect(Math.abs(recovery.area_error_pct)).toBeLessThan(area_pct);
  expect(Math.abs(recovery.mass_error_pct)).toBeLessThan(0.3);
  expect(recovery.blocks).toBeGreaterThan(850);
  expect(recovery.block_rmse_pct).toBeLessThan(2.3);
  return result;
}
const codes = ({ summary }: SeasonResult) => summary.warnings.map(({ code }) => code);

const whole = season({});
const one = found(whole);
const [oneField] = one.summary.fields;

/** As much grain on as much ground as the one tick log gives, to a share. */
function expectSame(result: SeasonResult, share: number) {
  const [field] = result.summary.fields;
  expect(Math.abs(field.mass_wet_kg / oneField.mass_wet_kg - 1)).toBeLessThan(share);
  expect(Math.abs(field.area_ha / oneField.area_ha - 1)).toBeLessThan(share);
}

describe('a season in other forms', () => {
  it('a tick log over three files, packed: as in one file', () => {
    const split = season({ split_min: [31, 74], gzip: true });
    expect(sheetOf(split).logs[0].files).toHaveLength(3);
    const result = found(split);
    expectSame(result, 1e-4);
    expect(codes(result).filter((code) => code !== 'restart_bridged')).toEqual(codes(one));
  });

  it('beam and fixes in two files that share the counter: exactly as in one', () => {
    const result = found(season({ files: 'beam_and_fixes' }));
    expectSame(result, 1e-9);
  });

  it('beam and bare sentences, with the time of tick zero', () => {
    const bare = season({ files: 'beam_and_bare_nmea', drift_ppm: 0 });
    expect(sheetOf(bare).logs[0].tick_zero_utc).toBeDefined();
    const result = found(bare);
    expectSame(result, 0.001);
    expect(Math.abs((result.summary.lags[0].transport_s ?? 0) - 12)).toBeLessThan(0.3);
  });

  it('beam edges and bare sentences, with nothing that ties them together', () => {
    const lines = textOf(whole.files, sheetOf(whole).logs[0].files[0]).split('\n');
    const edges = lines.filter((line) => /^\d+,[01]$/.test(line));
    const sentences = lines.flatMap((line) => (line.includes(',$') ? [line.slice(line.indexOf('$'))] : []));
    const logs = new Map([
      ['logs/beam.csv', `t_us,beam\n${edges.join('\n')}\n`],
      ['logs/gps.nmea', `${sentences.join('\n')}\n`],
    ]);
    const sheet = { ...sheetOf(whole), logs: [{ machine: 'c1', files: [...logs.keys()] }] };
    const result = found(withFiles(whole, sheet, logs));
    expect(codes(result)).toContain('clock_by_pattern');
    // what is left of the clock's offset goes into the lag
    expect(Math.abs((result.summary.lags[0].transport_s ?? 0) - 12)).toBeLessThan(2);
  });

  it('a tally log', () => {
    expectSame(found(season({ files: 'tally' })), 0.003);
  });

  it('a flow log with semicolons and decimal commas, through a column mapping', () => {
    const tally = season({ files: 'tally' });
    const sheet = sheetOf(tally);
    const log = flowLogFromTally(textOf(tally.files, sheet.logs[0].files[0]), tally);
    const mapped: Season = {
      ...sheet,
      logs: [{ machine: 'c1', files: ['flows/flow.csv'], mapping: 'per-second' }],
      mappings: [
        {
          id: 'per-second',
          delimiter: ';',
          decimal: ',',
          columns: [
            { quantity: 'time', column: 'when', unit: 'iso' },
            { quantity: 'longitude', column: 'x', unit: 'deg' },
            { quantity: 'latitude', column: 'y', unit: 'deg' },
            { quantity: 'speed', column: 'pace', unit: 'km/h' },
            { quantity: 'heading', column: 'course', unit: 'deg' },
            { quantity: 'mass_flow', column: 'grain', unit: 't/h' },
            { quantity: 'moisture', column: 'water', unit: 'pct' },
            { quantity: 'header_state', column: 'head', unit: '1_down' },
          ],
        },
      ],
      // nobody has shifted this log yet
      settings: { lags: [{ transport_s: 12, mixing_s: 2.8 }] },
    };
    // swaths from records are taken at their word, noise of the positions and all: their union is a little less
    const result = found(withFiles(tally, mapped, new Map([['flows/flow.csv', log]])), 1.2);
    expect(result.summary.lags[0].method).toBe('entered');
    expect(result.summary.calibrations[0].coefficients.k).toBeCloseTo(1, 2);
  });
});

/** Mass flow of each second as a flow log would hold it, by the machine's true shape factor, density and empty level. */
function flowLogFromTally(text: string, { files, truth }: SimulatedSeason): string {
  const { paddle } = (JSON.parse(textOf(files, 'season.json')) as Season).machines[0];
  if (paddle === undefined) throw new Error('no paddle');
  const rows = text
    .trimEnd()
    .split('\n')
    .slice(1)
    .map((line) => line.split(','));
  const running = rows.filter(([, paddles]) => Number(paddles) > 0);
  const chain_m_s =
    (running.reduce((sum, [, paddles]) => sum + Number(paddles), 0) / running.length) *
    paddle.pitch_mm *
    1e-3;
  const [machine] = truth.machines;
  const kg_s_of_dark =
    machine.shape_factor *
    paddle.width_mm *
    paddle.depth_mm *
    1e-6 *
    chain_m_s *
    truth.fields[0].bulk_density_kg_m3;
  const comma = (x: number) => String(x).replace('.', ',');
  const written = rows.map(([time, , dark_ms, moisture, header, lat, lon, speed, course]) => {
    const flow_kg_s = kg_s_of_dark * (Number(dark_ms) / 1000 - machine.empty_level.dark_fraction[0]);
    const numbers = [
      Number(lon),
      Number(lat),
      3.6 * Number(speed),
      Number(course),
      3.6 * flow_kg_s,
      Number(moisture),
    ];
    return [time, ...numbers.map(comma), header].join(';');
  });
  return `when;x;y;pace;course;grain;water;head\n${written.join('\n')}\n`;
}
