/** From a season's results to the files that are handed out. */
import { geojsonPieces } from '../../core/export/geojson.ts';
import { loadReportPieces } from '../../core/export/report/load-report.ts';
import { reportPieces } from '../../core/export/report/report.ts';
import { summaryText } from '../../core/export/summary-json.ts';
import type { TextToWrite } from './atomic-write.ts';
import type { SeasonRun } from './run-season.ts';

/** What `build` writes. */
export function outputFiles({ season, result, notices }: SeasonRun, points: 'kept' | 'all'): TextToWrite[] {
  return [
    { name: 'points.geojson', pieces: geojsonPieces(season, result, { points }) },
    { name: 'summary.json', pieces: [summaryText(result.summary)] },
    { name: 'report.html', pieces: reportPieces(season, result, notices) },
    { name: 'loads.html', pieces: loadReportPieces(season, result, notices) },
  ];
}

/** Whether there is anything in it that someone can use: a point that was kept. */
export function isUsable({ result }: SeasonRun): boolean {
  return result.summary.fields.some((field) => field.points.kept > 0);
}
