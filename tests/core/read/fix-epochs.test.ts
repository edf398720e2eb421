import { describe, expect, it } from 'vitest';
import type { FixColumns } from '../../../core/read/logger-run.ts';
import { damageCounts, readTickLog, sealed } from './log-text.ts';

const AT = '4134.5000,N,09345.0300,W';

function gga(clock: string, quality = '4'): string {
  return sealed(`GPGGA,${clock},${AT},${quality},12,0.7,280.8,M,-31.4,M,,`);
}

function rmc(clock: string, date: string, status = 'A', speed_kn = '5.0'): string {
  return sealed(`GPRMC,${clock},${status},${AT},${speed_kn},92.3,${date},,,A`);
}

function vtg(speed_kn: string): string {
  return sealed(`GPVTG,92.3,T,,M,${speed_kn},N,,K,A`);
}

function zda(clock: string, day: string, month: string, year: string): string {
  return sealed(`GPZDA,${clock},${day},${month},${year},00,00`);
}

function bareFixes(...sentences: string[]): FixColumns {
  return readTickLog(`${sentences.join('\r\n')}\r\n`).runs[0].fixes;
}

function iso(fixes: FixColumns): string[] {
  return Array.from(fixes.utc_s, (utc_s) =>
    Number.isNaN(utc_s) ? 'none' : new Date(Math.round(utc_s * 1000)).toISOString(),
  );
}

describe('joining the sentences of one epoch', () => {
  it('lays GGA, RMC, VTG, ZDA and GSA of one UTC into one row', () => {
    const gsa = sealed('GPGSA,A,3,01,,,,,,,,,,,,1.56,0.91,1.27');
    const fixes = bareFixes(
      gga('132819.60'),
      rmc('132819.60', '180320'),
      vtg('5.1'),
      gsa,
      zda('132819.60', '18', '03', '2020'),
    );
    expect(iso(fixes)).toEqual(['2020-03-18T13:28:19.600Z']);
    expect(fixes.quality[0]).toBe(4);
    expect(fixes.altitude_m[0]).toBe(280.8);
    expect(fixes.satellites[0]).toBe(12);
    expect(fixes.hdop[0]).toBe(0.7);
    expect(fixes.speed_m_s[0]).toBeCloseTo((5 * 1852) / 3600, 12);
    expect(fixes.course_deg[0]).toBe(92.3);
    expect(fixes.tick_us[0]).toBeNaN();
  });

  it('does so in any order of the sentences', () => {
    const forward = bareFixes(gga('132819'), rmc('132819', '180320'), gga('132820'), rmc('132820', '180320'));
    const backward = bareFixes(
      rmc('132819', '180320'),
      gga('132819'),
      rmc('132820', '180320'),
      gga('132820'),
    );
    expect(backward).toEqual(forward);
    expect(forward.utc_s).toHaveLength(2);
  });

  it('takes a sentence that comes after the next epoch has begun', () => {
    const late = bareFixes(
      gga('132819'),
      gga('132820'),
      rmc('132819', '180320', 'A', '3.0'),
      rmc('132820', '180320', 'A', '4.0'),
    );
    expect(Array.from(late.speed_m_s, (v) => (v * 3600) / 1852)).toEqual([
      expect.closeTo(3, 9),
      expect.closeTo(4, 9),
    ]);
  });

  it('leaves speed and course NaN where no sentence has them', () => {
    const fixes = bareFixes(gga('132819'));
    expect(fixes.speed_m_s[0]).toBeNaN();
    expect(fixes.course_deg[0]).toBeNaN();
  });

  it('gives a VTG without time to the epoch before it, or, where VTG leads every epoch, to the one after', () => {
    const knots = (fixes: FixColumns) => Array.from(fixes.speed_m_s, (v) => Math.round((v * 3600) / 1852));
    expect(knots(bareFixes(gga('100000'), vtg('1'), gga('100001'), vtg('2')))).toEqual([1, 2]);
    expect(
      knots(bareFixes(vtg('1'), gga('100000'), vtg('2'), gga('100001'), vtg('3'), gga('100002'))),
    ).toEqual([1, 2, 3]);
  });

  it('tells the two apart by the counter, even when the log begins in the middle of an epoch', () => {
    const log = (lines: [number, string][]) =>
      readTickLog(lines.map(([tick_us, text]) => `${tick_us},${text}\n`).join('')).runs[0].fixes;
    const fixes = log([
      [1_000_000, gga('100000')],
      [1_950_000, vtg('2')],
      [2_000_000, gga('100001')],
      [2_950_000, vtg('3')],
      [3_000_000, gga('100002')],
    ]);
    expect(fixes.speed_m_s[0]).toBeNaN();
    expect(Array.from(fixes.speed_m_s.subarray(1), (v) => (v * 3600) / 1852)).toEqual([
      expect.closeTo(2, 9),
      expect.closeTo(3, 9),
    ]);
    expect(Array.from(fixes.tick_us)).toEqual([1_000_000, 1_950_000, 2_950_000]);
  });
});

describe('what is no fix', () => {
  it('keeps out quality 0, void RMC and epochs without position, and counts each epoch once', () => {
    const reading = readTickLog(
      [
        sealed('GPGGA,100000,,,,,0,00,,,,,,,'),
        sealed('GPRMC,100000,V,,,,,,,180320,,,N'),
        gga('100001', '0'),
        rmc('100002', '180320', 'V'),
        sealed('GPRMC,100003,A,,,,,,,180320,,,A'),
        gga('100004'),
        rmc('100004', '180320', 'V'),
        gga('100005'),
        rmc('100005', '180320'),
      ].join('\n'),
    );
    expect(iso(reading.runs[0].fixes)).toEqual(['2020-03-18T10:00:05.000Z']);
    expect(reading.damage).toEqual([{ kind: 'bad_fix', count: 5, first_line: 1 }]);
  });

  it('takes a fix whose quality is empty and whose RMC says A, with quality NaN', () => {
    const noMode = sealed(`GPRMC,100000,A,${AT},5.0,92.3,180320,,`);
    const fixes = bareFixes(gga('100000', ''), noMode);
    expect(fixes.utc_s).toHaveLength(1);
    expect(fixes.quality[0]).toBeNaN();
    expect(fixes.altitude_m[0]).toBe(280.8);
  });

  it('takes the quality from the RMC mode when there is no GGA', () => {
    expect(bareFixes(sealed(`GNRMC,100000,A,${AT},5.0,92.3,180320,,,R`)).quality[0]).toBe(4);
  });

  it('counts the timeless sentences of a receiver that has no time yet', () => {
    const reading = readTickLog(
      '$GPGGA,,,,,,0,,,,,,,,*66\n$GPRMC,,V,,,,,,,,,,N*53\n$GPGGA,,,,,,0,,,,,,,,*66\n$GPVTG,,T,,M,,N,,K,N*2C\n',
    );
    expect(damageCounts(reading)).toEqual({ bad_fix: 2 });
    expect(reading.runs[0].fixes.utc_s).toHaveLength(0);
  });

  it('keeps a position whose receiver sends no time, without time', () => {
    const fixes = bareFixes(sealed(`GPGGA,,${AT},1,08,0.9,280,M,,M,,`));
    expect(iso(fixes)).toEqual(['none']);
    expect(fixes.latitude_deg[0]).toBeCloseTo(41.575, 9);
  });
});

describe('hemispheres', () => {
  it.each([
    ['N', 'E', 1, 1],
    ['N', 'W', 1, -1],
    ['S', 'E', -1, 1],
    ['S', 'W', -1, -1],
  ])('%s %s', (ns, ew, northward, eastward) => {
    const fixes = bareFixes(
      sealed(`GPRMC,123519,A,4807.038,${ns},01131.000,${ew},022.4,084.4,230394,003.1,W`),
    );
    expect(fixes.latitude_deg[0]).toBeCloseTo(northward * 48.1173, 10);
    expect(fixes.longitude_deg[0]).toBeCloseTo(eastward * (11 + 31 / 60), 10);
    expect(iso(fixes)).toEqual(['1994-03-23T12:35:19.000Z']);
  });
});

describe('dates', () => {
  it('dates the epochs before the first date from it', () => {
    const fixes = bareFixes(gga('095958'), gga('095959'), gga('100000'), rmc('100000', '180320'));
    expect(iso(fixes)).toEqual([
      '2020-03-18T09:59:58.000Z',
      '2020-03-18T09:59:59.000Z',
      '2020-03-18T10:00:00.000Z',
    ]);
  });

  it('dates them across midnight, too', () => {
    const fixes = bareFixes(gga('235959'), gga('000000'), rmc('000001', '010321'));
    expect(iso(fixes)).toEqual([
      '2021-02-28T23:59:59.000Z',
      '2021-03-01T00:00:00.000Z',
      '2021-03-01T00:00:01.000Z',
    ]);
  });

  it.each([
    ['a month', '300920', '011020', '2020-09-30', '2020-10-01'],
    ['a year', '311225', '010126', '2025-12-31', '2026-01-01'],
    ['February of a leap year', '290224', '010324', '2024-02-29', '2024-03-01'],
    ['February of another year', '280223', '010323', '2023-02-28', '2023-03-01'],
  ])('rolls over the end of %s, with and without a date of its own', (_, before, after, day, next) => {
    const expected = [
      `${day}T23:59:59.900Z`,
      `${next}T00:00:00.000Z`,
      `${next}T00:00:00.100Z`,
      `${next}T00:00:00.200Z`,
    ];
    const carried = bareFixes(
      rmc('235959.90', before),
      gga('000000.00'),
      gga('000000.10'),
      rmc('000000.20', after),
    );
    expect(iso(carried)).toEqual(expected);
    const own = bareFixes(
      rmc('235959.90', before),
      rmc('000000.00', after),
      rmc('000000.10', after),
      rmc('000000.20', after),
    );
    expect(iso(own)).toEqual(expected);
  });

  it('never lags a day behind: a receiver that still shows yesterday after midnight is put right', () => {
    const fixes = bareFixes(
      rmc('235959.00', '311225'),
      rmc('000000.00', '311225'),
      rmc('000001.00', '311225'),
      rmc('000002.00', '010126'),
      gga('000003.00'),
    );
    expect(iso(fixes)).toEqual([
      '2025-12-31T23:59:59.000Z',
      '2026-01-01T00:00:00.000Z',
      '2026-01-01T00:00:01.000Z',
      '2026-01-01T00:00:02.000Z',
      '2026-01-01T00:00:03.000Z',
    ]);
  });

  it('joins GGA and RMC at midnight whichever comes first', () => {
    const fixes = bareFixes(gga('235959'), rmc('235959', '180320'), gga('000000'), rmc('000000', '190320'));
    expect(iso(fixes)).toEqual(['2020-03-18T23:59:59.000Z', '2020-03-19T00:00:00.000Z']);
  });

  it('believes a receiver that says the same date in the afternoon as in the evening before it in the file', () => {
    const fixes = bareFixes(rmc('230000', '180320'), rmc('080000', '180320'), rmc('080001', '180320'));
    expect(iso(fixes)).toEqual([
      '2020-03-18T23:00:00.000Z',
      '2020-03-18T08:00:00.000Z',
      '2020-03-18T08:00:01.000Z',
    ]);
  });

  it('follows a date that jumps over days without a log', () => {
    const fixes = bareFixes(rmc('230000', '180320'), rmc('080000', '250320'), gga('080001'));
    expect(iso(fixes)[2]).toBe('2020-03-25T08:00:01.000Z');
  });

  it('takes dates from ZDA, also from epochs of its own', () => {
    expect(iso(bareFixes(zda('100000', '18', '03', '2020'), gga('100001')))).toEqual([
      '2020-03-18T10:00:01.000Z',
    ]);
  });

  it('does not take the date of a receiver without a fix, which may be its clock’s birthday', () => {
    const cold = sealed('GPRMC,235943,V,,,,,,,050180,,,N');
    const fixes = bareFixes(cold, gga('100000'), rmc('100001', '180320'));
    expect(iso(fixes)).toEqual(['2020-03-18T10:00:00.000Z', '2020-03-18T10:00:01.000Z']);
  });

  it('has no UTC where no date is ever sent', () => {
    expect(iso(bareFixes(gga('100000'), gga('100001')))).toEqual(['none', 'none']);
  });

  it('reads two-digit years as 1980–2079', () => {
    expect(iso(bareFixes(rmc('100000', '010180')))[0]).toBe('1980-01-01T10:00:00.000Z');
    expect(iso(bareFixes(rmc('100000', '311279')))[0]).toBe('2079-12-31T10:00:00.000Z');
  });
});
