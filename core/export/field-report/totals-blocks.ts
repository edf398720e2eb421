/** Page 1 of a field report: how much grain from how much ground, how sure that is, and where it grew. */
import type { Interval95 } from '../../calibration-result.ts';
import type { Block, KeyFigure, TableRow } from '../document/document.ts';
import { TYPE_WIDTH } from '../document/document.ts';
import { histogramPicture } from '../pictures/legend-picture.ts';
import { mapPicture } from '../pictures/map-picture.ts';
import {
  ABSENT,
  areaPair,
  type Figure,
  type FigurePair,
  grouped,
  massPair,
  scaleMass,
  type UnitSystem,
  yieldPair,
} from '../report/figures.ts';
import { fitsOf, verdicts } from './calibration-blocks.ts';
import {
  classShares,
  mapOfField,
  type ReportField,
  type ReportMaterial,
  sharedClasses,
} from './report-material.ts';

/** Heights on the lower of the two papers, in points: of the map where nothing else is unusually high, and of what is. */
const MOST_MAP_HEIGHT = 346;
const LEAST_MAP_HEIGHT = 150;
const HEIGHTS = { title_line: 26, note: 34, row: 15.5, class: 12.2 };
/** Signs of a title that stand in one line, and classes that stand beside the totals. */
const USUAL = { title: 28, classes: 8 };
const LEGEND_WIDTH = 205;

/** All of page 1; no map where no ground was cut. */
export function totalsBlocks(field: ReportField, material: ReportMaterial): Block[] {
  const classes = sharedClasses([field]);
  const map = mapOfField(field, classes, material);
  const about = `Yield map of ${field.summary.name}, ${field.scale.unit}`;
  const notes = uncalibrated(field, material);
  const blocks: Block[] = [{ kind: 'key_figures', figures: keyFigures(field, material.system) }, ...notes];
  if (map === undefined) {
    blocks.push({
      kind: 'paragraph',
      text: 'No ground was cut in this field, so there is no map.',
      tone: 'quiet',
    });
    blocks.push({ kind: 'table', ...totalsTable(field, material.system) });
    return blocks;
  }
  blocks.push({
    kind: 'figure',
    drawing: mapPicture(map, TYPE_WIDTH, mapHeight(field, classes.colours.length, notes.length)),
    about,
    caption: howMapped(field),
  });
  blocks.push({
    kind: 'columns',
    columns: [
      {
        share: LEGEND_WIDTH,
        blocks: [
          {
            kind: 'heading',
            level: 2,
            look: 'small',
            text: `Yield, ${field.scale.unit}`,
            aside: 'share of the ground',
          },
          {
            kind: 'figure',
            drawing: histogramPicture(classes, classShares(field, classes), LEGEND_WIDTH),
            about: `Legend and histogram of the map, ${field.scale.unit}`,
          },
        ],
      },
      {
        share: TYPE_WIDTH - 22 - LEGEND_WIDTH,
        blocks: [
          { kind: 'heading', level: 2, look: 'small', text: 'Totals' },
          { kind: 'table', ...totalsTable(field, material.system) },
          { kind: 'paragraph', text: madeOf(field), tone: 'quiet' },
        ],
      },
    ],
  });
  return blocks;
}

/** What is left of the first sheet. */
function mapHeight({ summary }: ReportField, classes: number, notes: number): number {
  const others =
    HEIGHTS.title_line * Math.floor(summary.name.length / USUAL.title) +
    HEIGHTS.note * notes +
    (summary.reconciled === undefined ? 0 : HEIGHTS.row) +
    HEIGHTS.class * Math.max(0, classes - USUAL.classes);
  return Math.max(LEAST_MAP_HEIGHT, MOST_MAP_HEIGHT - others);
}

/** Where no scale stands behind the weight, that is said before anything else. */
function uncalibrated(field: ReportField, material: ReportMaterial): Block[] {
  const fits = fitsOf(field, material).filter(({ model }) => model === 'uncalibrated');
  return fits.length === 0 ? [] : [verdicts(fits, material)];
}

/** What the largest figures of the field are. */
export function keyFigures({ summary, bushel_kg }: ReportField, system: UnitSystem): KeyFigure[] {
  const { mass_std_kg, standard_moisture_pct, mean_yield_t_ha, area_ha, moisture_pct, uncertainty } = summary;
  const mass = (mass_kg: number) => massPair(mass_kg, bushel_kg, system);
  const rate = (t_ha: number) => yieldPair(t_ha, bushel_kg, system);
  const area = areaPair(area_ha, system);
  return [
    {
      name: `Total at ${standard_moisture_pct} % moisture${uncertainty?.mass_std_95_kg == null ? '' : ', ± 95 %'}`,
      ...withMargin(mass(mass_std_kg), uncertainty?.mass_std_95_kg, mass),
    },
    {
      name: 'Mean yield',
      ...withMargin(yieldPair(mean_yield_t_ha, bushel_kg, system), uncertainty?.mean_yield_95_t_ha, rate),
    },
    { name: 'Area cut', figure: area.first, below: words(area.second) },
    moisture_pct === null
      ? { name: 'Moisture as cut', figure: { number: ABSENT, unit: '' }, below: 'not measured' }
      : { name: 'Moisture as cut', figure: { number: grouped(moisture_pct, 1), unit: '%' } },
  ];
}

/** A figure with half of its 95 % interval in both units. */
export function withMargin(
  pair: FigurePair,
  interval: Interval95 | null | undefined,
  pairOf: (amount: number) => FigurePair,
): Pick<KeyFigure, 'figure' | 'margin' | 'below'> {
  if (interval == null) return { figure: pair.first, below: `${words(pair.second)}; no interval known` };
  const half = pairOf((interval[1] - interval[0]) / 2);
  return {
    figure: pair.first,
    margin: `± ${half.first.number}`,
    below: `${pair.second.number} ± ${half.second.number} ${pair.second.unit}`,
  };
}

function totalsTable({ summary, bushel_kg }: ReportField, system: UnitSystem) {
  const { uncertainty, reconciled } = summary;
  const other: UnitSystem = system === 'us' ? 'metric' : 'us';
  const mass = (mass_kg: number) => massPair(mass_kg, bushel_kg, system).first;
  const scale = (mass_kg: number) => scaleMass(mass_kg, system);
  const rate = (t_ha: number) => yieldPair(t_ha, bushel_kg, system).first;
  const row = (name: string, { first, second }: FigurePair, between = ''): TableRow => ({
    cells: [name, words(first), words(second), between],
  });
  const rows: TableRow[] = [
    row(
      `Total at ${summary.standard_moisture_pct} %`,
      massPair(summary.mass_std_kg, bushel_kg, system),
      interval(uncertainty?.mass_std_95_kg, mass),
    ),
    row(
      'Total as harvested',
      { first: scaleMass(summary.mass_wet_kg, system), second: scaleMass(summary.mass_wet_kg, other) },
      interval(uncertainty?.mass_wet_95_kg, scale),
    ),
    row(
      'Mean yield',
      yieldPair(summary.mean_yield_t_ha, bushel_kg, system),
      interval(uncertainty?.mean_yield_95_t_ha, rate),
    ),
    row('Area cut', areaPair(summary.area_ha, system)),
  ];
  if (reconciled !== undefined)
    rows.push(
      row('Settled at', {
        first: scaleMass(reconciled.settlement_kg, system),
        second: scaleMass(reconciled.settlement_kg, other),
      }),
    );
  return {
    columns: [
      { head: '', holds: 'words' },
      { head: system === 'us' ? 'US' : 'metric', holds: 'number' },
      { head: other === 'us' ? 'US' : 'metric', holds: 'number' },
      { head: '95 % interval', holds: 'number' },
    ],
    rows,
  } as const;
}

/** `8,951 to 9,072`: in the units of the figure beside it. */
function interval(ends: Interval95 | null | undefined, figureOf: (amount: number) => Figure): string {
  return ends == null ? ABSENT : `${figureOf(ends[0]).number} to ${figureOf(ends[1]).number}`;
}

/** `184.5 bu/ac` */
export function words({ number, unit }: Figure): string {
  return `${number} ${unit}`;
}

/** Where the map's colours come from. */
function howMapped({ surface, summary, points }: ReportField): string {
  const at = `Yield at ${summary.standard_moisture_pct} % moisture`;
  const grain = points?.screened_by.includes(0) === true ? '' : ' No point was kept.';
  if (surface === undefined)
    return `${at}, swath by swath as it was cut. Grey: cut, but screened from the map; its grain counts in the totals.${grain}`;
  const method = METHOD_WORDS[surface.method] ?? surface.method.replaceAll('_', ' ');
  return `${at}: ${method} of ${grouped(summary.points.kept, 0)} points, cells of ${surface.grid.cell_m} m.`;
}

const METHOD_WORDS: Readonly<Record<string, string>> = {
  kriging: 'surface by kriging',
  inverse_distance: 'surface by inverse distance',
  block_mean: 'means by cell',
};

function madeOf({ summary: { uncertainty } }: ReportField): string {
  const parts = uncertainty?.mass_std_95_kg == null ? undefined : uncertainty.parts_pct;
  const named = [
    ['the calibration', parts?.calibration],
    ['moisture', parts?.moisture],
    ['the area (mean yield only)', parts?.area],
  ].flatMap(([name, pct]) => (typeof pct === 'number' ? [`${grouped(pct, 2)} % from ${name}`] : []));
  return named.length === 0
    ? 'There is too little to judge the error of these totals by.'
    : `One standard error is made of ${named.join(', ')}. An interval of 95 % holds the truth in 19 of 20 cases, if the scale is right.`;
}
