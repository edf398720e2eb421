/** From a season's result to reports of its fields and of the whole: HTML and PDF, all files or none. */
import { createHash } from 'node:crypto';
import { yieldWords } from '../../core/analysis/season-comparisons.ts';
import { failure, type Notice, type Result, success } from '../../core/errors.ts';
import type { ReportDocument } from '../../core/export/document/document.ts';
import { documentHtmlPieces } from '../../core/export/document/document-html.ts';
import { comparisonSummary } from '../../core/export/field-report/comparison-summary.ts';
import { fieldReport } from '../../core/export/field-report/field-report.ts';
import type { ReportMaterial } from '../../core/export/field-report/report-material.ts';
import { seasonReport } from '../../core/export/field-report/season-report.ts';
import type { MappedSurface } from '../../core/export/pictures/map-ground.ts';
import type { ReportChoice, ReportFormat } from '../../core/export/report-choice.ts';
import type { Paper } from '../../core/export/sheets/sheet-page.ts';
import { nearestWord } from '../../core/nearest-word.ts';
import { encodeSeason } from '../../core/season-file.ts';
import {
  type FileToWrite,
  toldFile,
  type WritingOptions,
  type WrittenFile,
  writeFiles,
} from './atomic-write.ts';
import { comparisonsOf } from './comparisons.ts';
import type { SurfaceOf } from './export/layer-sets.ts';
import { fieldFolders } from './field-files.ts';
import { cancelled } from './job-messages.ts';
import type { WrittenPdf } from './pdf/pdf-report.ts';
import type { ProgressListener, SeasonRun } from './run-season.ts';

export interface ReportContext extends WritingOptions {
  /** The season's folder, for the files of its comparisons. */
  readonly folder: string;
  readonly surfaceOf: SurfaceOf;
  readonly onProgress: ProgressListener;
  /** Sets a PDF; in this thread when absent. */
  readonly pdfOf?: (report: ReportDocument, paper: Paper) => Promise<WrittenPdf>;
}

/** Share of the whole that surfaces take. A guess of ours. */
const SURFACES_SHARE = 0.6;

/**
 * Writes `<field>-report.html`, `<field>-report.pdf`, `season-report.…` into `out`. Fails with `no_such_field`, `no_fields`,
 * `cancelled`, or with what the disk does. Fields without a surface are told of in the notices, and shown by their swaths.
 */
export async function writeReports(
  out: string,
  run: SeasonRun,
  choice: ReportChoice,
  context: ReportContext,
): Promise<Result<WrittenFile[]>> {
  const fields = chosenFields(run, choice.fields);
  if (!fields.ok) return fields;
  const { system, paper } = dress(run, choice);
  const season = { ...run.season, units: system };
  const surfaces = await surfacesFor(run, choice, fields.value, context);
  if (!surfaces.ok) return surfaces;
  const compared = await comparisonsOf(context.folder, { season, result: run.result });
  const material: ReportMaterial = {
    ...run,
    system,
    surfaces: surfaces.value,
    settings_sha256: createHash('sha256').update(encodeSeason(run.season)).digest('hex'),
    comparisons: compared.comparisons.map((made) => comparisonSummary(made, yieldWords(season, made.crop))),
  };
  const missing = new Set<string>();
  const files = filesOf(material, choice, {
    fields: fields.value,
    paper,
    missing,
    pdfOf: context.pdfOf ?? pdfHere,
  });
  const told = files.map((file, k) =>
    toldFile(file, () => {
      const share = SURFACES_SHARE + (1 - SURFACES_SHARE) * (k / files.length);
      context.onProgress(`writing ${file.name}`, share);
    }),
  );
  const written = await writeFiles(out, told, context);
  return written.ok ? success(written.value, [...surfaces.notices, ...lettersNotice(missing)]) : written;
}

/** Units and paper, where nobody has said them. */
function dress({ season }: SeasonRun, { units, paper }: ReportChoice) {
  const system = units ?? season.units ?? 'metric';
  return { system, paper: paper ?? (system === 'us' ? 'letter' : 'a4') } as const;
}

/** Names of the fields that get a report, in the order of the season. */
function chosenFields({ result }: SeasonRun, wanted: ReportChoice['fields']): Result<string[]> {
  const known = result.summary.fields.map(({ name }) => name);
  if (known.length === 0) {
    const text = 'The season has no field with a result, so that there is nothing to report.';
    return failure({ code: 'no_fields', source: 'season.json', text });
  }
  if (wanted === 'all') return success(known);
  for (const name of wanted) {
    if (known.includes(name)) continue;
    const nearest = nearestWord(name, known);
    const there = known.map((field) => `"${field}"`).join(', ');
    const hint = nearest === undefined ? `there is ${there}.` : `did you mean "${nearest}"?`;
    const text = `There is no field "${name}" in the result; ${hint}`;
    return failure({ code: 'no_such_field', source: 'season.json', text });
  }
  return success(known.filter((name) => wanted.includes(name)));
}

/** Of the fields that are shown large, and of all where the season's own report shows them small. */
async function surfacesFor(
  run: SeasonRun,
  { map, season }: ReportChoice,
  fields: readonly string[],
  { surfaceOf, onProgress, signal }: ReportContext,
): Promise<Result<Map<string, MappedSurface>>> {
  const made = new Map<string, MappedSurface>();
  if (map === 'swaths') return success(made);
  const notices: Notice[] = [];
  const places = [...run.result.points.keys()].filter(
    (place) => season || fields.includes(run.result.points[place].field),
  );
  for (const [k, place] of places.entries()) {
    if (signal?.aborted) return cancelled(notices);
    const { field } = run.result.points[place];
    const tell = (share: number) =>
      onProgress(`surface of ${field}`, (SURFACES_SHARE * (k + share)) / places.length);
    tell(0);
    const surface = await surfaceOf(run, place, { signal, onProgress: (_stage, share) => tell(share) });
    if (signal?.aborted) return cancelled(notices);
    notices.push(...surface.notices);
    if (surface.ok) {
      const { plan, cells } = surface.value;
      made.set(field, {
        grid: plan.grid,
        cells: plan.cells,
        yield_kg_m2: cells.yield_kg_m2,
        method: plan.method,
      });
    } else {
      const text = `${surface.error.text} The report shows its swaths.`;
      notices.push({ code: surface.error.code, severity: 'look', source: field, count: 1, text });
    }
  }
  return success(made, notices);
}

/** How PDFs are set, and where letters that their font lacks are noted. */
interface Layout {
  readonly paper: Paper;
  readonly missing: Set<string>;
  readonly pdfOf: (report: ReportDocument, paper: Paper) => Promise<WrittenPdf>;
}

/** The library is loaded when the first PDF is asked for. */
async function pdfHere(report: ReportDocument, paper: Paper): Promise<WrittenPdf> {
  const { pdfReport } = await import('./pdf/pdf-report.ts');
  return pdfReport(report, paper);
}

function lettersNotice(missing: ReadonlySet<string>): Notice[] {
  if (missing.size === 0) return [];
  const shown = [...missing].slice(0, 12).join(' ');
  const text = `The font of the PDFs has no letter for ${shown}${missing.size > 12 ? ' and others' : ''}: a box stands in its place there. The HTML shows it.`;
  return [{ code: 'letters_missing', severity: 'look', source: 'pdf', count: missing.size, text }];
}

function filesOf(
  material: ReportMaterial,
  { formats, season }: ReportChoice,
  { fields, ...layout }: Layout & { readonly fields: readonly string[] },
): FileToWrite[] {
  const all = material.result.summary.fields.map(({ name }) => name);
  // a field that is called "season" must not take the season's name
  const [seasonStem, ...stems] = fieldFolders(['season', ...all]);
  const reports = fields.map((name) => ({
    stem: stems[all.indexOf(name)],
    made: () => fieldReport(material, name),
  }));
  if (season) reports.push({ stem: seasonStem, made: () => seasonReport(material) });
  return reports.flatMap(({ stem, made }) => {
    let report: ReportDocument | undefined;
    return formats.map((format) => ({
      name: `${stem}-report.${format}`,
      pieces: laidOut(
        () => {
          report ??= made();
          return report;
        },
        format,
        layout,
      ),
    }));
  });
}

/** Made when it is written, so that no more than one report is in memory. */
async function* laidOut(
  made: () => ReportDocument,
  format: ReportFormat,
  { paper, missing, pdfOf }: Layout,
): AsyncGenerator<string | Uint8Array> {
  if (format === 'html') {
    yield* documentHtmlPieces(made());
    return;
  }
  const written = await pdfOf(made(), paper);
  for (const letter of written.missing) missing.add(letter);
  yield written.bytes;
}
