import { describe, expect, it } from 'vitest';
import { reportPieces } from '../../../../core/export/report/report.ts';
import type { SeasonResult, Summary } from '../../../../core/result.ts';
import { makeResult, NOTICES, SEASON } from '../season-fixture.ts';

function page(result: SeasonResult = makeResult(), season = SEASON, notices = NOTICES): string {
  return [...reportPieces(season, result, notices)].join('');
}

function withSummary(changes: Partial<Summary>): SeasonResult {
  const result = makeResult();
  return { ...result, summary: { ...result.summary, ...changes } };
}

/** What a reader sees of a piece of the page. */
function words(html: string): string {
  return html
    .replaceAll(/<(style|svg)[\s\S]*?<\/\1>/g, ' ')
    .replaceAll(/<[^>]*>/g, ' ')
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&quot;', '"')
    .replaceAll('&amp;', '&')
    .replaceAll(/\s+/g, ' ');
}

describe('report.html', () => {
  const html = page();
  const text = words(html);

  it('needs nothing but itself', () => {
    const tags = (html.match(/<[^>]*>/g) ?? []).join('\n');
    expect(tags).not.toMatch(/<script|<link|<img|<iframe|\bsrc=|\bhref=|\bon\w+=/i);
    expect(/<style>([\s\S]*?)<\/style>/.exec(html)?.[1]).not.toMatch(/url\(|@import/i);
    expect(html).toContain(`default-src 'none'; style-src 'unsafe-inline'`);
  });

  it('lets no text from a file become markup', () => {
    const nasty = '"><script>alert(1)</script>\u0000<b onmouseover=x>';
    const season = { ...SEASON, name: nasty, fields: [{ name: nasty, crop: 'corn' }] };
    const { summary, points } = makeResult();
    const [fit] = summary.calibrations;
    const evil: SeasonResult = {
      ...makeResult(),
      points: [{ ...points[0], field: nasty }],
      summary: {
        ...summary,
        fields: [
          { ...summary.fields[0], name: nasty, points: { total: 1, kept: 0, screened: { [nasty]: 1 } } },
        ],
        inputs: [{ path: nasty, sha256: nasty, lines: 1, damage: { [nasty]: 1 } }],
        lags: [{ ...summary.lags[0], field: nasty, machine: nasty, method: nasty }],
        calibrations: [
          {
            ...fit,
            machine: nasty,
            model: nasty,
            coefficients: { [nasty]: 1 },
            loads: [{ ...fit.loads[4], ticket: nasty, why: nasty }],
          },
        ],
        mass_ledger: [
          { ...summary.mass_ledger[0], field: nasty, machine: nasty, screened_kg: { [nasty]: 5 } },
        ],
      },
    };
    const made = page(evil, season, [{ ...NOTICES[0], text: nasty, code: nasty }]);
    expect(made).not.toMatch(/<script|<b onmouseover/);
    expect(made).not.toContain('\u0000');
    expect(made.split('&lt;script&gt;').length).toBeGreaterThan(15);
  });

  it('opens with how much grain there was, in the units of the sheet and in the others', () => {
    // 230,581 kg / 25.40117272 kg a bushel; 19.912 ha / 0.40468564224 ha an acre; 0.14 t/ha over 19.912 ha is 2.79 t
    expect(text).toContain('Corn 9,078 ± 110 bu 230.58 ± 2.79 t at 15.5 % moisture, from 49.20 ac 19.91 ha');
    // A crop without a bushel weight is weighed in pounds.
    expect(text).toContain('Lupins 25,410 lb 11.53 t at 14 % moisture');
    expect(words(page(makeResult(), { ...SEASON, units: 'metric' }))).toContain(
      'Corn 230.58 ± 2.79 t 9,078 ± 110 bu at 15.5 %',
    );
  });

  it('names the ticket that does not fit, with both weights, and why', () => {
    expect(text).toContain('Ticket 4715 does not fit. Scale weight is far from what the beam saw');
    expect(text).toContain('4715 31,570 75,200 +138.2');
    expect(text).toContain('6 of 7 loads in the fit ; the fit predicts a load that it has not seen to 1.1 %');
  });

  it('says loudly when there was no ticket', () => {
    expect(text).toContain('Lupins, combine 1: not calibrated. No scale ticket was given');
  });

  it('gives each field its mean with standard error, total and moisture', () => {
    expect(text).toContain(
      'Mean yield at 15.5 % moisture 184.5 bu/ac 11.58 t/ha ± 2.2 bu/ac (± 0.14 t/ha) , one standard error',
    );
    expect(text).toContain('Moisture 17.2 % as cut');
    expect(text).toContain('Moisture not measured');
  });

  it('shows where the grain went: parts that add up to what passed the beam', () => {
    const bars = html.split('class="to-scale"').slice(1);
    const lengths = bars.map((bar) => {
      const segments = [...bar.slice(0, bar.indexOf('</div>')).matchAll(/width:([\d.]+)%/g)];
      return segments.reduce((sum, [, width]) => sum + Number(width), 0);
    });
    // The bars are to one scale: 236,012 kg in Home, 11,700 kg in the other field.
    expect(lengths.map((length) => Math.round(10 * length) / 10)).toEqual([100, 5]);
    expect(text).toContain('Home combine 1 487,883 93.77 % 22,952 4.41 %');
  });

  it('keeps the record: lag, notices, settings, input hashes, program, caution', () => {
    for (const expected of [
      'Home combine 1 11.43 ± 0.18 11.7 2.61 14.04 flow starting and running out at the ends of passes',
      'Upper "Ten" combine 1 – – – 12.00 assumed: the log does not tell',
      '<img src=x onerror=alert(1)> is not a key',
      'speed_min_m_s 0.6',
      'field Home, transport_s 11.5',
      'a'.repeat(64),
      '12 with a wrong checksum, 1 last line cut off',
      'Made by sheaflight 0.1.0',
      'Estimate only. Not a legal-for-trade weight. Settle on certified scale tickets.',
    ]) {
      expect(text).toContain(expected);
    }
  });

  it('says how much noise unsmearing adds, where it is on', () => {
    expect(text).not.toContain('nsmearing');
    const { summary } = makeResult();
    const lags = [{ ...summary.lags[0], unsmear_noise_gain: 1.62 }, summary.lags[1]];
    const unsmeared = words(page(withSummary({ lags })));
    expect(unsmeared).toContain('noise by unsmearing');
    expect(unsmeared).toContain('11.43 ± 0.18 11.7 2.61 × 1.62 14.04');
  });

  it('draws the boundary of a field that has one', () => {
    // two maps: the first field has a ring, the other none; the second line is the key in the foot
    expect(html.match(/class="boundary"/g)).toHaveLength(2);
    expect(html.match(/>boundary<\/text>/g)).toHaveLength(1);
  });

  it('calls the third model and its coefficient by what they mean', () => {
    const [fit, other] = makeResult().summary.calibrations;
    const bent = {
      ...fit,
      model: 'gain_curvature',
      coefficients: { k: 0.91, curvature: 0.12 },
      standard_errors: { k: 0.01, curvature: 0.03 },
      r2: 0.9999936,
    };
    const shown = words(page(withSummary({ calibrations: [bent, other] })));
    expect(shown).toContain('model gain that changes with heap height');
    expect(shown).toContain('its change, empty to full pitch 0.1200 ± 0.0300');
    expect(shown).toContain('r² 0.999994');
  });

  it('is the same every time, and knows nothing of today', () => {
    expect(page()).toBe(html);
    expect(text).toContain('harvested 2026-09-21');
  });

  it('stays a page when there is next to nothing in the season', () => {
    const { points } = makeResult();
    const empty = withSummary({
      fields: [],
      lags: [],
      calibrations: [],
      mass_ledger: [],
      warnings: [],
      inputs: [],
      signals: [],
    });
    expect(words(page({ ...empty, points: [] }))).toContain('nothing harvested');
    const lost = {
      ...points[0],
      screened_by: points[0].screened_by.map(() => 1),
      cut_width_m: points[0].cut_width_m.map(() => 0),
    };
    expect(words(page({ ...makeResult(), points: [lost] }))).toContain('No ground was cut in this field');
    expect(words(page({ ...makeResult(), points: [] }))).toContain('No point of any log lies in this field.');
    expect(words(page(empty))).not.toMatch(/NaN|Infinity|undefined|null/);
  });

  it('writes no number that does not exist', () => {
    expect(text).not.toMatch(/NaN|Infinity|undefined|null/);
    expect(html).not.toMatch(/NaN|Infinity|undefined/);
  });
});
