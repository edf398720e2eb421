/** Seasons as files, small enough to run the whole chain on each in a fraction of a second. All simulated or invented. */
import { SEASON_FILE } from '../../core/season-file.ts';
import { madeRows, tableText } from '../core/import/made-flow-log.ts';
import { scene, simulate } from '../synthetic/index.ts';
import { BYTE_MUTATIONS, type Mutation, oneOf } from './byte-mutations.ts';
import { bytesOf } from './corpus.ts';

/** Bytes by path in the season folder. */
export type SeasonFiles = ReadonlyMap<string, Uint8Array>;

/** The small season as a tally log, and as a log that carries the flow already. */
function tallySeason(): SeasonFiles {
  return simulate(
    scene('tallies')
      .seed(6)
      .field({
        corners: [
          [-40, -60],
          [40, -60],
          [40, 60],
          [-40, 60],
        ],
      })
      .machine({ logger: { files: 'tally' } })
      .loads({ load_t: 1.5 }),
  ).files;
}

function flowSeason(): SeasonFiles {
  const rows = madeRows({ passes: 5, rows_a_pass: 60 });
  const log = tableText(rows, [
    ['lon', ({ longitude_deg }) => longitude_deg.toFixed(7)],
    ['lat', ({ latitude_deg }) => latitude_deg.toFixed(7)],
    ['time', ({ utc_s }) => utc_s],
    ['flow', ({ flow_kg_s }) => flow_kg_s.toFixed(2)],
    ['moisture', ({ moisture_pct }) => moisture_pct.toFixed(1)],
    ['speed', ({ speed_m_s }) => speed_m_s.toFixed(2)],
    ['swath', ({ swath_m }) => swath_m.toFixed(2)],
    ['up', ({ up }) => up],
  ]);
  const columns = [
    { quantity: 'longitude', column: 'lon' },
    { quantity: 'latitude', column: 'lat' },
    { quantity: 'time', column: 'time', unit: 'unix_s' },
    { quantity: 'mass_flow', column: 'flow' },
    { quantity: 'moisture', column: 'moisture' },
    { quantity: 'speed', column: 'speed' },
    { quantity: 'swath', column: 'swath' },
    { quantity: 'header_state', column: 'up', unit: '1_up' },
  ];
  const sheet = {
    format: 'sheaflight-season/1',
    name: 'flows',
    machines: [{ id: 'c1', name: 'combine 1', header: { width_m: 9.144 } }],
    fields: [{ name: 'Home', crop: 'wheat' }],
    logs: [{ machine: 'c1', files: ['logs/flow.csv'], mapping: 'm' }],
    tickets: ['tickets/tickets.csv'],
    mappings: [{ id: 'm', columns }],
  };
  return new Map([
    [SEASON_FILE, bytesOf(JSON.stringify(sheet))],
    ['logs/flow.csv', bytesOf(log)],
    ['tickets/tickets.csv', bytesOf('ticket,field,net_kg\n1,Home,5200\n')],
  ]);
}

export const tallies = once(tallySeason);
export const flows = once(flowSeason);

function once(make: () => SeasonFiles): () => SeasonFiles {
  let made: SeasonFiles | undefined;
  return () => {
    made ??= make();
    return made;
  };
}

/** A season with `bytes` in the place of the file whose path begins with `start`. */
export function spoilt(season: SeasonFiles, start: string, bytes: Uint8Array): SeasonFiles {
  const path = [...season.keys()].find((one) => one.startsWith(start)) ?? start;
  return new Map([...season, [path, bytes]]);
}

export function filesIn(season: SeasonFiles, start: string): Uint8Array[] {
  return [...season].filter(([path]) => path.startsWith(start)).map(([, bytes]) => bytes);
}

/** Dozens of mutations: one alone is lost among ten thousand lines. */
export const storm: Mutation = (bytes, random, soil) => {
  let spoiled = bytes;
  for (let i = random.integer(40); i >= 0; i--)
    spoiled = oneOf(LOCAL_MUTATIONS, random)(spoiled, random, soil);
  return spoiled;
};
/** Those that leave most of the file alone. */
const LOCAL_MUTATIONS = BYTE_MUTATIONS.filter(
  ({ name }) => !/^(truncate|cutFront|crossOver|otherEncoding|otherLineEnds|otherSigns)$/.test(name),
);
