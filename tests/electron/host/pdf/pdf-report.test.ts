import { describe, expect, it } from 'vitest';
import { fieldReport } from '../../../../core/export/field-report/field-report.ts';
import type { ReportMaterial } from '../../../../core/export/field-report/report-material.ts';
import { seasonReport } from '../../../../core/export/field-report/season-report.ts';
import { PAPER_MM, type Paper } from '../../../../core/export/sheets/sheet-page.ts';
import { pdfReport, type WrittenPdf } from '../../../../electron/host/pdf/pdf-report.ts';
import { makeResult, NOTICES, SEASON } from '../../../core/export/season-fixture.ts';
import { readPdf } from '../../read-pdf.ts';

const NAME = 'Žlutá alej, Łąka, Κάτω χωράφι, Дальнее поле';

/** The fixture with a field whose name needs half of Europe's letters. */
function material(): ReportMaterial {
  const result = makeResult();
  const [home, ...others] = result.summary.fields;
  const renamed = <Row extends { readonly field: string }>(rows: readonly Row[]) =>
    rows.map((row) => (row.field === 'Home' ? { ...row, field: NAME } : row));
  return {
    season: { ...SEASON, fields: [{ ...SEASON.fields[0], name: NAME }, ...SEASON.fields.slice(1)] },
    result: {
      ...result,
      points: renamed(result.points),
      summary: {
        ...result.summary,
        fields: [{ ...home, name: NAME }, ...others],
        lags: renamed(result.summary.lags),
        mass_ledger: renamed(result.summary.mass_ledger),
      },
    },
    notices: NOTICES,
    system: 'us',
    surfaces: new Map(),
    settings_sha256: 'c'.repeat(64),
    comparisons: [],
  };
}

const SET = new Map<Paper, Promise<WrittenPdf>>();

/** The field's report; setting it takes half a second. */
function fieldPdf(paper: Paper): Promise<WrittenPdf> {
  const known = SET.get(paper) ?? pdfReport(fieldReport(material(), NAME), paper);
  SET.set(paper, known);
  return known;
}

describe('reports as PDF', () => {
  it('have two to four pages of the paper asked for, numbered', async () => {
    for (const paper of ['letter', 'a4'] as const) {
      const { bytes } = await fieldPdf(paper);
      const { pages } = await readPdf(bytes);
      expect(pages.length).toBeGreaterThanOrEqual(2);
      expect(pages.length).toBeLessThanOrEqual(4);
      const [width_mm, height_mm] = PAPER_MM[paper];
      for (const [k, { view, text }] of pages.entries()) {
        expect(view[2]).toBeCloseTo((width_mm * 72) / 25.4, 1);
        expect(view[3]).toBeCloseTo((height_mm * 72) / 25.4, 1);
        expect(text).toContain(`${k + 1} of ${pages.length}`);
      }
    }
  });

  it('say in letters of any European alphabet what the HTML says', async () => {
    const { bytes, missing } = await fieldPdf('a4');
    const { text, info } = await readPdf(bytes);
    expect(text).toContain(NAME);
    expect(missing).toEqual([]);
    // 230,581 kg in bushels of 56 lb, and in tonnes
    expect(text).toContain('9,078');
    expect(text).toContain('230.58 t');
    expect(text).toContain('184.5');
    expect(text).toContain('19.91 ha');
    expect(text).toContain('518,968 lb');
    expect(text).toContain('Ticket 4715 does not fit.');
    expect(text).toContain('passed the beam');
    expect(text).toContain('a'.repeat(64));
    expect(info.Title).toBe(`${NAME}: field report`);
  });

  it('are tagged: language, headings, tables, and words for pictures', async () => {
    const { bytes } = await fieldPdf('letter');
    const { pages, info, mark } = await readPdf(bytes);
    expect(mark).toMatchObject({ Marked: true });
    expect(info.Language).toBe('en');
    const structure = pages.map((page) => page.structure).join('');
    for (const role of ['H1', 'H2', 'H3', 'Table', 'TR', 'TH', 'TD', 'Figure', 'LI'])
      expect(structure).toContain(`"role":"${role}"`);
    expect(structure).toContain(`"alt":"Yield map of ${NAME}, bu/ac"`);
  });

  it('have all fonts inside, cut to the letters that are used', async () => {
    const { bytes } = await pdfReport(seasonReport(material()), 'a4');
    const source = Buffer.from(bytes).toString('latin1');
    const fonts = source.match(/\/Type \/FontDescriptor[\s\S]*?>>/g) ?? [];
    expect(fonts.length).toBe(2);
    for (const font of fonts) {
      expect(font).toMatch(/\/FontFile2 \d+ 0 R/);
      expect(font).toMatch(/\/FontName \/[A-Z]{6}\+Inter/);
    }
    // each whole font has 340 kB
    expect(bytes.length).toBeLessThan(400_000);
  });

  it('are the same bytes every time, dated by the harvest', async () => {
    const [one, other] = [await fieldPdf('a4'), await pdfReport(fieldReport(material(), NAME), 'a4')];
    expect(Buffer.from(one.bytes).equals(Buffer.from(other.bytes))).toBe(true);
    const { info } = await readPdf(one.bytes);
    // the fixture's epoch, 1,790,000,000 s, is in September 2026
    expect(String(info.CreationDate)).toMatch(/^D:202609/);
  });

  it('keep names without an end within their page', async () => {
    const report = fieldReport(material(), NAME);
    const endless = 'W'.repeat(400);
    const { bytes } = await pdfReport(
      { ...report, title: endless, foot: endless, below: [endless] },
      'letter',
    );
    const { pages } = await readPdf(bytes);
    expect(pages.length).toBeLessThanOrEqual(4);
    expect(pages[1].text).toContain('…');
    expect(pages[1].text).toContain(`2 of ${pages.length}`);
  });

  it('name the letters that the font does not have', async () => {
    const report = { ...fieldReport(material(), NAME), title: 'Field 北 \u0007 <b>' };
    const { bytes, missing } = await pdfReport(report, 'a4');
    expect(missing).toEqual(['北']);
    const { pages } = await readPdf(bytes);
    expect(pages[0].text).toContain('<b>');
  });
});
