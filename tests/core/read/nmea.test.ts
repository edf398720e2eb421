import { describe, expect, it } from 'vitest';
import type { NmeaSentence } from '../../../core/read/nmea.ts';
import { parseNmeaText, sealed } from './log-text.ts';

function parsed(text: string): NmeaSentence {
  const sentence = parseNmeaText(text);
  if (typeof sentence === 'string') throw new Error(`${text} was answered with ${sentence}`);
  return sentence;
}

// sentences as printed in receivers' public manuals and format descriptions; checksums recomputed
describe('published sentences', () => {
  it('reads a GGA of the northern and eastern half', () => {
    const gga = parsed('$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47');
    expect(gga).toMatchObject({
      type: 'GGA',
      valid: 1,
      quality: 1,
      satellites: 8,
      hdop: 0.9,
      altitude_m: 545.4,
    });
    expect(gga.latitude_deg).toBeCloseTo(48.1173, 10);
    expect(gga.longitude_deg).toBeCloseTo(11.5166667, 7);
    expect(gga.time_of_day_s).toBe(12 * 3600 + 35 * 60 + 19);
    expect(gga.date_day).toBeNaN();
    expect(gga.speed_m_s).toBeNaN();
  });

  it('reads an RMC with speed in knots and a date of the last century', () => {
    const rmc = parsed('$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A');
    expect(rmc.speed_m_s).toBeCloseTo(11.523556, 6);
    expect(rmc.course_deg).toBe(84.4);
    expect(rmc.valid).toBe(1);
    // 1994-03-23 is day 8847 of Unix time (date -d 1994-03-23 +%s = 764380800)
    expect(rmc.date_day).toBe(764_380_800 / 86_400);
    expect(rmc.quality).toBeNaN();
  });

  it('reads VTG: knots before km/h, which are rounded apart', () => {
    const vtg = parsed('$GPVTG,054.7,T,034.4,M,005.5,N,010.2,K*48');
    expect(vtg.course_deg).toBe(54.7);
    expect(vtg.speed_m_s * 3.6).toBeCloseTo(10.186, 3);
    expect(parsed('$GPVTG,156.6,T,,M,000.0,N,000.0,K,A*09')).toMatchObject({
      course_deg: 156.6,
      speed_m_s: 0,
    });
  });

  it('reads west longitude and a negative geoid separation', () => {
    const gga = parsed('$GPGGA,022249.563,3942.0517,N,10447.2799,W,1,05,1.8,1710.9,M,-14.7,M,,0000*50');
    expect(gga.longitude_deg).toBeCloseTo(-(104 + 47.2799 / 60), 12);
    expect(gga.latitude_deg).toBeCloseTo(39 + 42.0517 / 60, 12);
    expect(gga.time_of_day_s).toBe(2 * 3600 + 22 * 60 + 49.563);
    expect(gga.altitude_m).toBe(1710.9);
  });

  it('reads an RTK fix of seven minute decimals', () => {
    const gga = parsed(
      '$GPGGA,050701.00,2713.5680820,N,10254.3169400,E,4,17,2.0,823.0678,M,-34.480,M,02,0004*73',
    );
    expect(gga.quality).toBe(4);
    expect(gga.latitude_deg).toBeCloseTo(27 + 13.568082 / 60, 12);
    expect(gga.longitude_deg).toBeCloseTo(102 + 54.31694 / 60, 12);
  });

  it('reads a void RMC of the southern and western half as no fix', () => {
    const rmc = parsed('$GPRMC,123519,V,4807.038,S,01131.000,W,022.4,084.4,230394,003.1,W*72');
    expect(rmc.valid).toBe(0);
    expect(rmc.latitude_deg).toBeCloseTo(-48.1173, 10);
    expect(rmc.longitude_deg).toBeCloseTo(-11.5166667, 7);
  });

  it('refuses the misprinted and the one-digit checksum', () => {
    // printed *42 in one vendor's page; the sentence computes to 48
    const misprint = '$GPGGA,121505,4807.038,N,01131.324,E,1,08,0.9,133.4,M,46.9,M, , *42';
    expect(parseNmeaText(misprint)).toBe('bad_checksum');
    expect(parseNmeaText(misprint.replace('*42', '*48'))).toMatchObject({ type: 'GGA', altitude_m: 133.4 });
    expect(parseNmeaText('$GPVTG,,T,,M,0.00,N,0.0,K,D*1')).toBe('bad_checksum');
  });
});

describe('checksums', () => {
  const good = '$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47';

  it.each([
    ['no star', good.slice(0, -3), 'missing_checksum'],
    ['star alone', good.slice(0, -2), 'bad_checksum'],
    ['one digit', good.slice(0, -1), 'bad_checksum'],
    ['three digits', `${good}0`, 'bad_checksum'],
    ['no hexadecimal digit', good.replace('*47', '*G7'), 'bad_checksum'],
    ['a wrong letter in the sentence', good.replace('N', 'S'), 'bad_checksum'],
    ['two sentences run together', good.slice(0, 20) + good, 'bad_checksum'],
    ['no dollar', good.slice(1), 'unreadable_line'],
  ])('answers %s with %s', (_, text, kind) => {
    expect(parseNmeaText(text)).toBe(kind);
  });

  it('takes small hexadecimal letters', () => {
    expect(
      parseNmeaText('$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6a'),
    ).toMatchObject({
      type: 'RMC',
    });
  });
});

describe('sentence types', () => {
  it.each(['GP', 'GN', 'GL', 'GA', 'GB', 'GQ', 'BD', 'IN', 'II'])('takes talker %s', (talker) => {
    expect(parseNmeaText(sealed(`${talker}ZDA,003956.00,12,04,2019,00,00`))).toMatchObject({ type: 'ZDA' });
  });

  it.each([
    'GPGSV,1,1,00',
    'GNGLL,4404.14066,N,12118.85481,W,171925.00,A,A',
    'PGRMC,A,1,2',
    'PQGSV,1,1,00',
    'GPGGAX,1',
    'GPGG,1',
  ])('skips $%s', (body) => {
    expect(parseNmeaText(sealed(body))).toBe('skipped_sentence');
  });

  it('reads GNS and takes the best mode of its satellite systems as quality', () => {
    const body = '191530.98,3645.850151,N,03124.651134,E';
    const gns = parsed(sealed(`GNGNS,${body},AAN,09,1.5,-114.9,32.0,,,V`));
    expect(gns).toMatchObject({ quality: 1, satellites: 9, hdop: 1.5, altitude_m: -114.9, valid: 1 });
    expect(parsed(sealed(`GNGNS,${body},ARN,09,1.5,-114.9,32.0,,,V`)).quality).toBe(4);
    expect(parsed(sealed(`GNGNS,${body},NDF,09,1.5,-114.9,32.0,,,V`)).quality).toBe(5);
    expect(parsed(sealed('GNGNS,191434.96,,,,,NNN,,,,,,'))).toMatchObject({ quality: 0, valid: 0 });
  });

  it('reads the date of a ZDA and the HDOP of a GSA', () => {
    // date -u -d 2019-04-12 +%s = 1555027200
    expect(parsed(sealed('GNZDA,003956.00,12,04,2019,00,00')).date_day).toBe(1_555_027_200 / 86_400);
    expect(parsed('$GNGSA,A,3,01,11,31,14,22,32,04,25,03,,,,1.56,0.91,1.27*15').hdop).toBe(0.91);
  });

  it('leaves empty fields open: no quality, no speed, no course, no time', () => {
    const gga = parsed(sealed('GPGGA,005947.00,3715.6616,N,12157.6709,W,,11,0.8,86.0,M,-30.1,M,,'));
    expect(gga.quality).toBeNaN();
    expect(gga.valid).toBeNaN();
    const rmc = parsed(sealed('GNRMC,171926.00,A,4404.14063,N,12118.85478,W,,,180315,,,A'));
    expect([rmc.speed_m_s, rmc.course_deg]).toEqual([Number.NaN, Number.NaN]);
    expect(parsed('$GPRMC,,V,,,,,,,,,,N*53')).toMatchObject({ valid: 0, time_of_day_s: Number.NaN });
    expect(parsed('$GPVTG,,T,,M,,N,,K,N*2C').speed_m_s).toBeNaN();
  });

  it('takes km/h where a VTG has no knots', () => {
    expect(parsed(sealed('GPVTG,,T,,M,,N,36.0,K,A')).speed_m_s).toBeCloseTo(10, 12);
  });

  it('reads RMC mode N as no fix even with status A', () => {
    expect(parsed(sealed('GPRMC,123519,A,4807.038,N,01131.000,E,0,0,230394,,,N')).valid).toBe(0);
  });
});

describe('fields that may not be so', () => {
  const at = '4807.038,N,01131.000,E';

  it.each([
    ['letters in a number', `GPGGA,123519,48x7.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,`],
    ['latitude beyond the pole', 'GPGGA,123519,9000.001,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,'],
    ['longitude beyond the date line', 'GPGGA,123519,4807.038,N,18000.001,E,1,08,0.9,545.4,M,46.9,M,,'],
    ['60 minutes', 'GPGGA,123519,4860.000,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,'],
    ['no letter N or S', 'GPGGA,123519,4807.038,,01131.000,E,1,08,0.9,545.4,M,46.9,M,,'],
    ['letters swapped', 'GPGGA,123519,4807.038,E,01131.000,N,1,08,0.9,545.4,M,46.9,M,,'],
    ['hour 24', `GPGGA,243519,${at},1,08,0.9,545.4,M,46.9,M,,`],
    ['a time of five digits', `GPGGA,12351,${at},1,08,0.9,545.4,M,46.9,M,,`],
    ['31 February', `GPRMC,123519,A,${at},022.4,084.4,310294,003.1,W`],
    ['month 13', `GPRMC,123519,A,${at},022.4,084.4,011394,003.1,W`],
    ['a course of 400 degrees', `GPRMC,123519,A,${at},022.4,400.0,230394,003.1,W`],
    ['a negative speed', `GPRMC,123519,A,${at},-2.4,084.4,230394,003.1,W`],
    ['two points', `GPGGA,123519,${at},1,08,0.9,545.4.1,M,46.9,M,,`],
    ['a ZDA without such a day', 'GPZDA,003956.00,29,02,2019,00,00'],
  ])('answers %s with bad_number', (_, body) => {
    expect(parseNmeaText(sealed(body))).toBe('bad_number');
  });

  it('reads the poles, the date line and the leap second', () => {
    expect(parsed(sealed('GPGGA,235960,9000.000,S,18000.000,W,1,08,0.9,0,M,0,M,,'))).toMatchObject({
      latitude_deg: -90,
      longitude_deg: -180,
      time_of_day_s: 86_400,
    });
  });

  it('reads a sentence cut by a receiver after its position', () => {
    expect(parsed(sealed(`GPGGA,123519,${at}`))).toMatchObject({
      satellites: Number.NaN,
      altitude_m: Number.NaN,
    });
  });
});
