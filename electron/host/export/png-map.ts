/** Maps as PNG at print size: a sheet a field, drawn without a browser, the same pixels on every machine. */
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { initWasm, Resvg } from '@resvg/resvg-wasm';
import { svgFile } from '../../../core/export/document/drawing-svg.ts';
import type { ExportFile, ExportFormat, LayerSet, Provenance } from '../../../core/export/formats/format.ts';
import type { ExportLayer } from '../../../core/export/layers/layer.ts';
import { layerMap } from '../../../core/export/pictures/layer-map.ts';
import { capitalised } from '../../../core/export/report/report-context.ts';
import { FONT_FAMILY, FONT_FILES } from '../pdf/font-files.ts';
import { withPngFacts } from './png-facts.ts';

/** A picture for each layer. */
export const pngMap: ExportFormat = { kinds: ['points', 'swaths', 'cells', 'zones'], files };

/** Dots a point of paper: 300 an inch. */
const DOTS_PER_POINT = 300 / 72;

/** One file a field; fields without a place or a yield leave none. */
function files(sets: readonly LayerSet[], provenance: Provenance): ExportFile[] {
  return sets.flatMap(({ stem, layers, field_stems }) =>
    layers.flatMap((layer, k): ExportFile[] => {
      if (!isDrawable(layer)) return [];
      const own = field_stems?.[k] ?? (layers.length === 1 ? stem : `${stem}-${k + 1}`);
      return [{ name: `${own}.png`, pieces: pixels(layer, provenance) }];
    }),
  );
}

function isDrawable({ columns, rows }: ExportLayer): boolean {
  return (
    rows > 0 &&
    columns.some(
      (one) => one.kind === 'real' && /^yield_(?!se_)/.test(one.name) && one.numbers.some(Number.isFinite),
    )
  );
}

async function* pixels(layer: ExportLayer, provenance: Provenance): AsyncGenerator<Uint8Array> {
  const about = `${capitalised(layer.crop)}, ${provenance.season}: ${KIND_WORDS[layer.kind]}`;
  const foot = `${provenance.generated_by}. Estimate, not legal for trade.`;
  const drawing = layerMap(layer, { about, foot });
  if (drawing === undefined) throw new RangeError(`the layer of "${layer.field}" cannot be drawn`);
  const { fonts } = await drawer();
  const sheet = new Resvg(svgFile(drawing, FONT_FAMILY), {
    fitTo: { mode: 'width', value: Math.round(drawing.width * DOTS_PER_POINT) },
    font: { fontBuffers: fonts, loadSystemFonts: false, defaultFontFamily: FONT_FAMILY },
  });
  const picture = sheet.render();
  const bytes = picture.asPng();
  picture.free();
  sheet.free();
  yield withPngFacts(bytes, {
    dots_per_m: Math.round((DOTS_PER_POINT * 72) / 0.0254),
    texts: [
      ['Title', `${layer.field}: yield map`],
      ['Software', provenance.generated_by],
      ['Description', provenance.remarks.join(' ')],
    ],
  });
}

const KIND_WORDS: Readonly<Record<ExportLayer['kind'], string>> = {
  points: 'yield by points',
  swaths: 'yield by swaths',
  cells: 'yield surface',
  zones: 'yield zones',
};

interface Drawer {
  readonly fonts: Uint8Array[];
}

let made: Promise<Drawer> | undefined;

/** The drawing library's code and the font are read once. */
function drawer(): Promise<Drawer> {
  made ??= (async () => {
    const code = createRequire(import.meta.url).resolve('@resvg/resvg-wasm/index_bg.wasm');
    await initWasm(await readFile(code));
    return { fonts: await Promise.all(Object.values(FONT_FILES).map((path) => readFile(path))) };
  })();
  return made;
}
