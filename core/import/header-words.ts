/** What the words of a column's heading say about its quantity and unit, whoever wrote them. */
import { unitFromWord } from '../read/unit-words.ts';
import type { MappedQuantity } from '../season.ts';

export interface HeaderWords {
  /** The heading as it stands, for sentences. */
  readonly name: string;
  /** Its words in small letters, joined ones parted: `GrainFlow_lbs` → grain, flow, lbs. */
  readonly tokens: readonly string[];
  /** What may be a unit in it, likeliest first: in brackets, under the heading, or the last words. */
  readonly unitTexts: readonly string[];
}

/** Beside the quantities of a mapping, what helps to understand a table without being mapped. */
export type ColumnTopic = MappedQuantity | 'yield' | 'crop' | 'machine';

/**
 * Phrases of headings by topic, the plainest first: English, and the commonest of German, French and Spanish. A phrase
 * counts when all of its words are in the heading. Words of the trade, no program's own.
 */
const PHRASES: Readonly<Record<ColumnTopic, readonly string[]>> = {
  longitude: ['longitude', 'lon', 'long', 'lng', 'längengrad', 'laengengrad', 'länge', 'longitud'],
  latitude: ['latitude', 'lat', 'breitengrad', 'breite', 'latitud'],
  time: [
    'date time',
    'datetime',
    'timestamp',
    'time stamp',
    'time',
    'tim',
    'utc',
    'zeitstempel',
    'zeit',
    'epoch',
  ],
  date: ['date', 'datum', 'fecha', 'day'],
  clock_time: ['time', 'clock', 'uhrzeit', 'heure', 'hora', 'zeit', 'tod'],
  interval: [
    'log interval',
    'interval',
    'cycles',
    'cycle',
    'duration',
    'time step',
    'dt',
    'intervall',
    'delta',
  ],
  mass_flow: [
    'mass flow',
    'massflow',
    'grain flow',
    'flow rate',
    'flow',
    'flw',
    'throughput',
    'durchsatz',
    'débit',
    'debit',
    'caudal',
  ],
  volume_flow: ['volume flow', 'volumetric flow', 'vol flow', 'volflow', 'volumenstrom'],
  mass: ['grain mass', 'crop mass', 'mass', 'weight', 'masse', 'gewicht', 'wgt', 'poids', 'peso'],
  distance: ['distance', 'dist', 'dst', 'travelled', 'strecke', 'weg', 'distancia'],
  speed: [
    'ground speed',
    'speed',
    'velocity',
    'spd',
    'vel',
    'geschwindigkeit',
    'vitesse',
    'velocidad',
    'sog',
  ],
  swath: [
    'swath width',
    'swath',
    'swth',
    'cut width',
    'cutting width',
    'header width',
    'working width',
    'width',
    'arbeitsbreite',
    'schnittbreite',
    'breite',
    'largeur',
    'ancho',
  ],
  heading: [
    'heading',
    'hdng',
    'hdg',
    'course',
    'track',
    'bearing',
    'direction',
    'azimuth',
    'kurs',
    'richtung',
    'cog',
  ],
  moisture: [
    'grain moisture',
    'moisture',
    'moist',
    'mst',
    'kornfeuchte',
    'feuchte',
    'mc',
    'humidité',
    'humedad',
    'h2o',
  ],
  altitude: ['altitude', 'alt', 'elevation', 'elev', 'z', 'höhe', 'hoehe', 'msl', 'height'],
  header_state: [
    'header status',
    'header state',
    'header down',
    'header up',
    'header position',
    'header',
    'work state',
    'working',
    'lowered',
    'schneidwerk',
  ],
  fix_quality: ['fix quality', 'gps quality', 'gps status', 'fix type', 'quality', 'fix', 'gps fix'],
  field: ['field name', 'field', 'paddock', 'schlag', 'feld', 'parcelle', 'parcela', 'lote'],
  yield: ['yield', 'yld', 'ertrag', 'rendement', 'rendimiento'],
  crop: ['crop', 'frucht', 'culture', 'cultivo', 'grain type'],
  machine: ['machine', 'combine', 'harvester', 'vehicle', 'mähdrescher'],
};

/** How well each topic's phrases fit a heading, 0..1: 1 for the plain phrase alone, less where other words stand beside it. */
export function topicFit({ tokens }: HeaderWords, topic: ColumnTopic): number {
  const words = tokens.filter((token) => !UNIT_TOKENS.has(token));
  // all words may be units by their looks: `in`, `t`; then they are looked at as words
  const said = words.length > 0 ? words : tokens;
  let best = 0;
  PHRASES[topic].forEach((phrase, rank) => {
    const wanted = phrase.split(' ');
    if (
      !wanted.every((word) =>
        said.some((token) => token === word || (word.length >= 5 && token === `${word}s`)),
      )
    )
      return;
    const purity = wanted.length / said.length;
    best = Math.max(best, (0.55 + 0.45 * purity) * (1 - 0.01 * rank));
  });
  return best;
}

/** Words that are units rather than quantities wherever they stand in a heading. */
const UNIT_TOKENS: ReadonlySet<string> = new Set(
  'deg degrees rad m cm mm km in inch inches ft feet mi s sec seconds ms min h hr hour hours days kg g t lb lbs ston l pct percent mph kmh kph kn kts knots ac acre ha bu per'.split(
    ' ',
  ),
);

/**
 * The unit that a heading names for `quantity`: a unit word of the mapping, `refused` with the reason, or undefined when
 * it names none that fits.
 */
export function unitOfHeader(
  { unitTexts }: HeaderWords,
  quantity: MappedQuantity,
): { readonly unit: string } | { readonly refused: string } | undefined {
  let refused: string | undefined;
  for (const text of unitTexts) {
    const answer = unitFromWord(quantity, text);
    if (answer.kind === 'factor' || answer.kind === 'written') return { unit: answer.word };
    if (answer.kind === 'refused') refused ??= answer.why;
  }
  return refused === undefined ? undefined : { refused };
}

/** Characters of a heading that are looked at; what is longer is none. A choice of ours. */
const LONGEST_HEADING = 200;

/** The parts of a heading, with what stands under it in a line of units. */
export function wordsOfHeader(heading: string, unitCell: string): HeaderWords {
  const name = heading.slice(0, LONGEST_HEADING);
  const bracketed = [...name.matchAll(/[([{<]([^)\]}>]*)[)\]}>]/g)].map((found) => found[1].trim());
  const bare = name.replaceAll(/[([{<][^)\]}>]*[)\]}>]/g, ' ');
  const tokens = tokensOf(bare);
  const last = tokens.slice(-3);
  const tails = [last.slice(-2).join('/'), last.slice(-1).join('')].filter((text) => text !== '');
  if (last.length === 3) tails.unshift(last.join('/'));
  // `Speed km/h` and `Flow, lb/s` name their unit as it is written
  const written = bare.split(/[\s,;:_]+/).filter((word) => /[/%°³²^]/.test(word) && word.length <= 12);
  return {
    name,
    tokens,
    unitTexts: [unitCell.slice(0, LONGEST_HEADING), ...bracketed, ...written, ...tails]
      .map((text) => normalisedUnit(text))
      .filter((text) => text !== ''),
  };
}

function tokensOf(name: string): string[] {
  return name
    .replaceAll(/(\p{Ll})(?=\p{Lu})|(\d)(?=\p{Lu}\p{Ll})/gu, '$1$2 ')
    .toLowerCase()
    .split(/[^\p{L}\p{N}%°]+/u)
    .filter((token) => token !== '');
}

/** `lbs s`, `lb.s-1`, `lb/sec` → one spelling; `lbs` for a flow means pounds a second and is tried as such by the guess. */
function normalisedUnit(text: string): string {
  return text
    .trim()
    .toLowerCase()
    .replace(/[\s.·]*s-1$|\s*s\^-1$/, '/s')
    .replaceAll(/\s*(?:\/|\bper\b)\s*/g, '/')
    .replace(/\/sec(ond)?s?$/, '/s')
    .replace(/\/hrs?$|\/hours?$/, '/h')
    .replace(/^lbs?\//, 'lb/')
    .replace(/^lbm\//, 'lb/')
    .replace(/^tonnes?\b|^tons?\b(?=\/h)/, 't')
    .trim();
}
