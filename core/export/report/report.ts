/**
 * The season as one HTML page that needs nothing else: no script, no font, no network. Light and dark by the reader's
 * own setting, and fit for paper.
 */
import type { Notice } from '../../errors.ts';
import type { SeasonResult } from '../../result.ts';
import type { Season } from '../../season.ts';
import { fieldSection } from './field-section.ts';
import { findingsSection } from './findings-section.ts';
import { healthSection } from './health-section.ts';
import { lagSection } from './lag-section.ts';
import { ledgerSection } from './ledger-section.ts';
import { loadsSection } from './loads-section.ts';
import { pageHead } from './page-head.ts';
import { cautionSection, inputSection, noticeSection, settingSection } from './record-section.ts';
import type { ReportContext } from './report-context.ts';
import { signalSection } from './signal-section.ts';

/**
 * The text of `report.html`, a piece a section. Everything that comes from files is escaped, and a content security
 * policy forbids scripts and network besides.
 */
export function* reportPieces(
  season: Season,
  result: SeasonResult,
  notices: readonly Notice[],
): Generator<string> {
  const context: ReportContext = { season, result, notices, system: season.units ?? 'metric' };
  yield pageHead(context, { kind: 'Yield report', title: `${season.name}: yield report` }).text;
  yield findingsSection(context).text;
  for (const field of result.summary.fields) yield fieldSection(field, context).text;
  yield loadsSection(context).text;
  yield ledgerSection(context).text;
  yield signalSection(context).text;
  yield healthSection(context).text;
  yield lagSection(context).text;
  yield noticeSection(context).text;
  yield settingSection(context).text;
  yield inputSection(context).text;
  yield cautionSection().text;
  yield '</main>\n</body>\n</html>\n';
}
