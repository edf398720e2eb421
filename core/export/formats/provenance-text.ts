/** What exported files say of their own making, in the words of formats that have a place for it, and as a text beside the others. */
import type { LayerColumn } from '../layers/layer.ts';
import type { LayerSet, Provenance } from './format.ts';
import { FORMATS, type FormatName } from './format-list.ts';

/** JSON on one line; the settings are JSON in it, not text. */
export function provenanceJson({ settings, ...said }: Provenance): string {
  const head = JSON.stringify(said);
  return `${head.slice(0, -1)},"settings":${JSON.stringify(JSON.parse(settings))}}`;
}

/** For people: which program made the files of which season, from what, with which settings, and what the columns are. */
export function provenanceText(
  { generated_by, season, inputs, settings, remarks }: Provenance,
  sets: readonly LayerSet[],
  formats: readonly FormatName[],
): string {
  const lines = [
    `${oneLine(season)}: exported by ${generated_by} as ${formats.map((name) => FORMATS[name].title).join(', ')}.`,
    '',
    ...remarks.map(oneLine),
    '',
    'Longitude and latitude are degrees of WGS84; times are UTC; an empty number is absent.',
  ];
  const told = new Set<string>();
  for (const { kind, layers } of sets) {
    if (layers.length === 0 || told.has(kind)) continue;
    told.add(kind);
    lines.push('', `Columns of ${kind} (and their names where ten characters are allowed):`);
    lines.push(...layers[0].columns.map(columnLine));
  }
  lines.push('', 'Made from:', ...inputs.map(({ path, sha256 }) => `  ${sha256}  ${oneLine(path)}`));
  lines.push('', 'Settings:', JSON.stringify(JSON.parse(settings), null, 2), '');
  return lines.join('\n');
}

function columnLine({ name, short_name, about }: LayerColumn): string {
  return `  ${name.padEnd(20)} ${short_name.padEnd(10)}  ${oneLine(about)}`;
}

/** Names come from files: no line of theirs may look like one of ours. */
function oneLine(text: string): string {
  return text.replaceAll(/[\p{Cc}\p{Zl}\p{Zp}]+/gu, ' ');
}
