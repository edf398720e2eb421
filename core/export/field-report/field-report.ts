/** The field report: two to four pages about one field, to hand to a landlord. */
import type { Season } from '../../season.ts';
import { shownText } from '../../shown-text.ts';
import type { ReportDocument } from '../document/document.ts';
import { harvestDays } from '../report/page-head.ts';
import { capitalised } from '../report/report-context.ts';
import { calibrationBlocks } from './calibration-blocks.ts';
import { ledgerBlocks } from './ledger-blocks.ts';
import {
  cautionBlocks,
  comparisonBlocks,
  healthBlocks,
  noticeBlocks,
  provenanceBlocks,
  settingBlocks,
  stateBlocks,
} from './record-blocks.ts';
import { lastCut_unix_s, machinesOf, type ReportMaterial, reportFields } from './report-material.ts';
import { totalsBlocks } from './totals-blocks.ts';

/** Signs of a name that a title has room for. */
export const MOST_TITLE = 110;

/** What stands in the corner of every report. */
export const ESTIMATE = [
  'Estimate only. Not a legal-for-trade weight.',
  'Settle on certified scale tickets.',
];

/** The report of the field of that name. Throws RangeError when the result has none. */
export function fieldReport(material: ReportMaterial, name: string): ReportDocument {
  const field = reportFields(material).find(({ summary }) => summary.name === name);
  if (field === undefined) throw new RangeError(`the result has no field "${name}"`);
  const { season, result } = material;
  const { summary, points } = field;
  const sheet = season.fields.find((one) => one.name === name);
  const own = points === undefined ? [] : [points];
  const days = harvestDays({ points: own, epoch_utc_s: result.epoch_utc_s });
  const variety = sheet?.variety === undefined ? '' : `, ${sheet.variety}`;
  const ledger = result.summary.mass_ledger.filter((row) => row.field === name);
  return {
    kind: 'Field report',
    title: shownText(name, MOST_TITLE),
    below: [`${capitalised(summary.crop)}${variety}, ${days}`, seasonLine(season)],
    beside: ESTIMATE,
    foot: `${name}, ${season.name}: field report. Estimate, not legal for trade.`,
    generated_by: result.summary.generated_by,
    dated_unix_s: lastCut_unix_s(own, result.epoch_utc_s),
    pages: [
      totalsBlocks(field, material),
      [
        ...calibrationBlocks(field, material),
        ...ledgerBlocks(ledger, material, summary.points),
        ...settingBlocks(field, material),
        ...comparisonBlocks(material.comparisons.filter((one) => one.field === name)),
        ...stateBlocks(healthBlocks(machinesOf(field, material), material), noticeBlocks(material, name)),
        ...cautionBlocks(),
        ...provenanceBlocks(material),
      ],
    ],
  };
}

/** `Anna Novak, My season`; the season alone where nobody has said whose grain it is. */
function seasonLine({ grower, name }: Season): string {
  return grower === undefined ? name : `${grower}, ${name}`;
}
