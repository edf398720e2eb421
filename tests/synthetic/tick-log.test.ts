import { describe, expect, it } from 'vitest';
import { blockFrame } from './block-frame.ts';
import { edgesOf, linesOf, NOISE_FREE, SMALL_LOG, smallScene, textOf } from './crude-reading.ts';
import { scene } from './scene.ts';
import { everythingWrong, plain } from './scenes.ts';
import { simulate } from './simulate.ts';
import { total } from './total.ts';

describe('the log', () => {
  it('has right checksums, and positions that lie where the antenna was', () => {
    const season = simulate(
      smallScene()
        .machine(NOISE_FREE)
        .everyMachine({ receiver: { vtg: true } }),
    );
    const [field] = season.truth.fields;
    const frame = blockFrame(field.frame.lon0, field.frame.lat0);
    let sentences = 0;
    for (const [, payload] of linesOf(season, SMALL_LOG)) {
      if (!payload.startsWith('$')) continue;
      const [body, hh] = payload.slice(1).split('*');
      const xor = [...body].reduce((bits, character) => bits ^ character.charCodeAt(0), 0);
      expect(hh).toBe(xor.toString(16).toUpperCase().padStart(2, '0'));
      sentences++;
      const cells = body.split(',');
      if (cells[0] !== 'GPGGA') continue;
      const lat = Number(cells[2].slice(0, 2)) + Number(cells[2].slice(2)) / 60;
      const lon = -(Number(cells[4].slice(0, 3)) + Number(cells[4].slice(3)) / 60);
      expect([cells[3], cells[5]]).toEqual(['N', 'W']);
      const [east, north] = frame.eastNorth(lon, lat);
      expect(Math.max(Math.abs(east) - 60, Math.abs(north) - 70)).toBeLessThan(30);
    }
    expect(sentences).toBeGreaterThan(1000);
  });

  it.each([
    [148.2, -33.6, 'S', 'E'],
    [-61.3, -34.1, 'S', 'W'],
    [11.4, 52.1, 'N', 'E'],
    [-97.9, 41.2, 'N', 'W'],
  ])('at %f, %f writes %s and %s', (lon0, lat0, northSouth, eastWest) => {
    const season = simulate(smallScene().everyField({ lon0, lat0 }).machine({}));
    const gga = linesOf(season, SMALL_LOG).find(([, payload]) => payload.startsWith('$GPGGA'));
    expect(gga?.[1].split(',').filter((cell) => /^[NSEW]$/.test(cell))).toEqual([northSouth, eastWest]);
    const ring = JSON.parse(textOf(season, 'boundaries/small.geojson')).features[0].geometry.coordinates[0];
    expect(ring[0]).toEqual(ring[4]);
    expect(Math.abs(ring[0][0] - lon0)).toBeLessThan(0.01);
    expect(Math.abs(ring[0][1] - lat0)).toBeLessThan(0.01);
  });

  it('wraps at 2^32 µs, drifts by the ppm asked for, and restarts near zero', () => {
    const season = simulate(
      smallScene()
        .machine({ ...NOISE_FREE, logger: { start_tick_us: 2 ** 32 - 100e6, drift_ppm: 50 } })
        .damage({ restart_min: [6], restart_gap_s: 3 }),
    );
    const ticks = linesOf(season, SMALL_LOG).map(([tick]) => tick);
    const falls = ticks.flatMap((tick, i) => (i > 0 && tick < ticks[i - 1] ? [i] : []));
    expect(falls).toHaveLength(2);
    expect(ticks[falls[0] - 1]).toBeGreaterThan(2 ** 32 - 1e5);
    expect(ticks[falls[0]]).toBeLessThan(1e5);
    // From 0 to 360 s: 100 s up to the wrap, then 260 s, 50 ppm fast.
    expect(Math.abs(ticks[falls[1] - 1] - (360e6 * (1 + 50e-6) - 100e6))).toBeLessThan(1e5);
    expect(ticks[falls[1]]).toBeGreaterThan(2.35e6 - 1);
    expect(ticks[falls[1]]).toBeLessThan(2.5e6);
    expect(season.truth.fields[0].machines[0].artefacts.lostInRestarts).toBeGreaterThan(50);
  });

  it('rolls over midnight and the month in its sentences', () => {
    const season = simulate(smallScene().everyField({ start_utc: '2026-10-31T23:58:00Z' }).machine({}));
    const rmc = linesOf(season, SMALL_LOG)
      .map(([, payload]) => payload.split(','))
      .filter((cells) => cells[0] === '$GPRMC');
    const dates = rmc.map((cells) => cells[9]);
    expect(dates.indexOf('011126')).toBe(120);
    expect(dates.lastIndexOf('311026')).toBe(119);
    expect(rmc[120][1]).toBe('000000.00');
  });

  it('counts the damage that it does', () => {
    const clean = simulate(everythingWrong(1).damage({ ...plain(1).spec.damage }));
    const damaged = simulate(everythingWrong(1));
    const { artefacts } = damaged.truth.fields[0].machines[0];
    expect(artefacts).toMatchObject({
      repeated: 60,
      swapped: 60,
      badChecksums: 25,
      half: 25,
      joined: 8,
      nulRuns: 4,
      truncatedEnds: 1,
      missingEdges: 40,
    });
    expect(artefacts.chatterGaps + artefacts.chatterBlips).toBeGreaterThan(4000);
    expect(clean.truth.fields[0].mass_wet_kg).toBe(damaged.truth.fields[0].mass_wet_kg);
    expect(textOf(damaged, 'logs/c1-windmill.log')).toContain('\0');
    expect(textOf(clean, 'logs/c1-windmill.log')).not.toContain('\0');
  });

  it('leaves out what a machine does not have', () => {
    const season = simulate(
      smallScene()
        .everyField({ boundary: 'none' })
        .machine({ logger: { header_switch: false, moisture: false } })
        .loads({ tickets: 'none' }),
    );
    const kinds = new Set(linesOf(season, SMALL_LOG).map(([, payload]) => payload[0]));
    expect([...kinds].sort()).toEqual(['$', '0', '1']);
    expect([...season.files.keys()].sort()).toEqual([SMALL_LOG, 'season.json']);
    const sheet = JSON.parse(textOf(season, 'season.json'));
    expect(sheet.logs).toEqual([{ machine: 'c1', files: [SMALL_LOG], field: 'Small' }]);
    expect(sheet.tickets).toBeUndefined();
  });

  it('goes on in a new file with the same counter, or keeps beam and fixes apart', () => {
    const whole = simulate(smallScene().machine({}));
    const split = simulate(smallScene().machine({ logger: { split_min: [3, 7] } }));
    const parts = ['', '-2', '-3'].map((part) => textOf(split, `logs/c1-small${part}.log`));
    expect(parts.join('')).toBe(textOf(whole, SMALL_LOG));
    expect(Math.min(...parts.map((part) => part.length))).toBeGreaterThan(10_000);
    const apart = simulate(smallScene().machine({ logger: { files: 'beam_and_fixes' } }));
    const lines = ['-beam', '-fixes'].map((part) => linesOf(apart, `logs/c1-small${part}.log`));
    expect(lines[0].every(([, payload]) => payload.length === 1)).toBe(true);
    expect(lines[1].some(([, payload]) => payload.length === 1)).toBe(false);
    const joined = lines.flat().sort(([a], [b]) => a - b);
    expect(joined.map(([tick]) => tick)).toEqual(linesOf(whole, SMALL_LOG).map(([tick]) => tick));
  });

  it('writes sentences without ticks, and then says when tick zero was', () => {
    const season = simulate(
      smallScene().machine({
        logger: { files: 'beam_and_bare_nmea', start_tick_us: 90_000_000, drift_ppm: 0 },
      }),
    );
    const sentences = textOf(season, 'logs/c1-small-nmea.log').trimEnd().split('\n');
    expect(sentences.every((line) => line.startsWith('$GP'))).toBe(true);
    expect(linesOf(season, 'logs/c1-small-beam.log')[0][0]).toBeGreaterThan(90e6 - 1);
    const [log] = JSON.parse(textOf(season, 'season.json')).logs;
    expect(log.files).toEqual(['logs/c1-small-beam.log', 'logs/c1-small-nmea.log']);
    // The log starts at 14:20:00; the counter stood at 90 s.
    expect(log.tick_zero_utc).toBe('2026-10-06T14:18:30.000Z');
  });

  it('tallies the paddles and the dark time of its edges', () => {
    const scene = smallScene().machine(NOISE_FREE);
    const edges = edgesOf(simulate(scene), SMALL_LOG);
    const season = simulate(scene.everyMachine({ logger: { files: 'tally' } }));
    const rows = textOf(season, 'logs/c1-small-tally.csv')
      .trimEnd()
      .split('\n')
      .map((row) => row.split(','));
    expect(rows[0].join(',')).toBe('time,paddles,dark_ms,moisture_pct,header,lat,lon,speed_m_s,course_deg');
    expect(rows[1][0]).toBe('2026-10-06T14:20:01.000Z');
    const paddles = total(rows.slice(1).map((cells) => Number(cells[1])));
    const dark_s = total(rows.slice(1).map((cells) => Number(cells[2]))) / 1000;
    expect(Math.abs(paddles - (edges.length + 1) / 2)).toBeLessThan(12);
    // The heaps of all paddles and 14 mm for each, at the chain's 2.05 m/s.
    const { passed_kg } = season.truth.balance;
    const dark_m = passed_kg / (721 * 0.92 * 0.26 * 0.15) + paddles * 0.014;
    expect(Math.abs(dark_s / (dark_m / 2.05) - 1)).toBeLessThan(1e-3);
  });

  it('refuses a scene that cannot be driven', () => {
    expect(() => simulate(scene('empty'))).toThrow('needs at least one field and one machine');
    expect(() => simulate(smallScene().machine({ drive: { wander_m: 0.4 } }))).toThrow(
      'more than half the overlap of 0.25 m',
    );
  });
});
