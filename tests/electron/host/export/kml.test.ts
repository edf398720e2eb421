import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { unzipSync } from 'fflate';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { LayerSet } from '../../../../core/export/formats/format.ts';
import { kmlPieces } from '../../../../core/export/formats/kml-document.ts';
import type { ExportLayer } from '../../../../core/export/layers/layer.ts';
import { kml } from '../../../../electron/host/export/kml.ts';
import {
  bytesOf,
  FIELD_NAMES,
  NOON_S,
  PROVENANCE,
  pointLayer,
  pointSet,
  polygonLayer,
} from '../../../core/export/formats/layer-fixture.ts';
import { elementsNamed, readXml, type XmlElement } from '../../../core/export/formats/xml-reading.ts';
import { gdal, NO_GDAL } from './gdal.ts';

const POINTS = pointSet([pointLayer('home', 60), pointLayer('fiji', 30)]);
const CELLS = pointSet([polygonLayer('home', 20), polygonLayer('fiji', 20)], 'cells');

async function made(
  sets: readonly LayerSet[],
  provenance = PROVENANCE,
): Promise<{ name: string; bytes: Buffer }[]> {
  const files = await kml.files(sets, provenance);
  return Promise.all(files.map(async ({ name, pieces }) => ({ name, bytes: await bytesOf(pieces) })));
}

const documentOf = ({ name, bytes }: { name: string; bytes: Buffer }): string =>
  (name.endsWith('.kmz') ? Buffer.from(unzipSync(new Uint8Array(bytes))['doc.kml']) : bytes).toString('utf8');

/** Name and text of everything that is said of a placemark. */
function saidOf(placemark: XmlElement): Record<string, string> {
  return Object.fromEntries(
    elementsNamed(placemark, 'Data').map(({ attributes, children }) => [attributes.name, children[0].text]),
  );
}

describe('KML as a document', () => {
  it('has folders by field and class in well-formed XML, in the order that the schema of KML 2.2 asks for', async () => {
    const [file] = await made([CELLS]);
    expect(file.name).toBe('cells.kml');
    const { root } = readXml(documentOf(file));
    expect([root.name, root.attributes.xmlns]).toEqual(['kml', 'http://www.opengis.net/kml/2.2']);
    const [document] = root.children;
    expect(document.children.map(({ name }) => name).filter((name, k, all) => name !== all[k - 1])).toEqual([
      ...['name', 'open', 'description', 'Style', 'ExtendedData', 'Schema', 'Folder'],
    ]);
    const folders = document.children.filter(({ name }) => name === 'Folder');
    const titles = (folder: XmlElement) =>
      folder.children.filter(({ name }) => name === 'Folder').map(({ children }) => children[0].text);
    expect(folders.map(({ children }) => children[0].text)).toEqual([
      'Home (corn)',
      `${FIELD_NAMES.fiji} (soybean "süß")`,
    ]);
    expect(titles(folders[0]).at(0)).toMatch(/^8\.0 – 8\.5 t\/ha$/);
    expect(titles(folders[0]).at(-1)).toBe('without a yield');
    const ids = new Set(elementsNamed(document, 'Style').map(({ attributes }) => attributes.id));
    const used = elementsNamed(document, 'styleUrl').map(({ text }) => text.slice(1));
    expect(used).toHaveLength(36);
    expect(used.filter((id) => !ids.has(id))).toEqual([]);
    const colours = elementsNamed(document, 'PolyStyle').map(({ children }) => children[0].text);
    // viridis (CC0) from #440154 to #fde725, as aabbggrr
    expect(colours).toContain('d9540144');
    expect(colours).toContain('d925e7fd');
  });

  it('tells where it comes from, with the caution', async () => {
    const { root } = readXml(documentOf((await made([CELLS]))[0]));
    const [document] = root.children;
    const text = (name: string) => document.children.find((child) => child.name === name)?.text;
    expect(text('name')).toBe('Heron Bottom & <Sons> 2026: cells');
    expect(text('description')?.split('\n')).toEqual([...PROVENANCE.remarks, 'Made by Sheaflight 9.9.9.']);
    const said = elementsNamed(document, 'Data').map(({ attributes, children }) => [
      attributes.name,
      children[0].text,
    ]);
    expect(said).toContainEqual(['input', `logs/combine "1".log sha256 ${'ab'.repeat(32)}`]);
    expect(said).toContainEqual(['settings', '{"units":"us"}']);
  });

  it('says nothing of what is absent, leaves rows without a place out, cuts at the 180° meridian', async () => {
    const [points, cells] = (await made([POINTS, CELLS])).map((file) => readXml(documentOf(file)).root);
    const placemarks = elementsNamed(points, 'Placemark').map(saidOf);
    expect(placemarks).toHaveLength(90 - 5 - 2);
    expect(placemarks.find(({ time }) => time === '2026-10-03T12:00:02.400Z')).toEqual({
      time: '2026-10-03T12:00:02.400Z',
      machine: 'combine <1> & "co"',
      pass: '0',
      yield_t_ha: '9.286',
      mass_flow_kg_s: '8.667',
      moisture_pct: '17.25',
      speed_m_s: '1.567',
      cut_width_m: '9.144',
      distance_m: '1.8',
      kept: '1',
    });
    expect(Object.keys(placemarks.find(({ time }) => time === '2026-10-03T12:00:07.200Z') ?? {})).toEqual([
      ...['time', 'machine', 'load'],
    ]);
    expect(elementsNamed(cells, 'MultiGeometry')).toHaveLength(1);
    expect(elementsNamed(cells, 'innerBoundaryIs')).toHaveLength(35);
  });

  it('puts points into a KMZ with their dot, and the bytes are the same again', async () => {
    const [first, again] = [(await made([POINTS]))[0], (await made([POINTS]))[0]];
    expect(first.name).toBe('points.kmz');
    expect(first.bytes.equals(again.bytes)).toBe(true);
    const entries = unzipSync(new Uint8Array(first.bytes));
    expect(Object.keys(entries)).toEqual(['doc.kml', 'dot.png']);
    expect(Buffer.from(entries['dot.png']).toString('latin1', 1, 4)).toBe('PNG');
    const { root } = readXml(documentOf(first));
    expect(new Set(elementsNamed(root, 'href').map(({ text }) => text))).toEqual(new Set(['dot.png']));
  });

  it('stands any name', async () => {
    const names = fc.string({ unit: 'binary', maxLength: 30 });
    await fc.assert(
      fc.asyncProperty(names, names, names, async (field, crop, season) => {
        const layer: ExportLayer = { ...polygonLayer('home', 2), field, crop };
        const [file] = await made([pointSet([layer], 'cells')], { ...PROVENANCE, season, remarks: [field] });
        const { root } = readXml(documentOf(file));
        const [document] = root.children;
        // XML 1.0 §2.2 has no way to write these
        const kept = (name: string) =>
          name.replaceAll(/(?![\t\n\r\x7f-\x9f])[\p{Cc}\ufffe\uffff]/gu, '\ufffd');
        expect(document.children[0].text).toBe(kept(`${season}: cells`));
        expect(elementsNamed(document, 'Folder')[0].children[0].text).toBe(kept(`${field} (${crop})`));
      }),
      { seed: 7, numRuns: 100 },
    );
  });
});

describe('KML of many rows', () => {
  it('thins points evenly and says so; refuses polygons with a sentence that names a way', async () => {
    const many = pointSet([pointLayer('home', 1001)]);
    const text = [...kmlPieces(many, PROVENANCE, { icon: 'dot.png', most_points: 500, values: 'data' })].join(
      '',
    );
    const { root } = readXml(text);
    // 334 of them less those without a place
    expect(elementsNamed(root, 'Placemark')).toHaveLength(Math.ceil(1001 / 3) - 30);
    const [description] = elementsNamed(root, 'description');
    expect(description.text).toContain(
      'of 3 points one is in this file. The other formats hold all of them.',
    );
    expect(kml.refusal?.([many, CELLS])).toBeUndefined();
    const refused = kml.refusal?.([
      pointSet([{ ...polygonLayer('home', 0, 'swaths'), rows: 100_001 }], 'swaths'),
    ]);
    expect(refused?.text).toMatch(/swaths\.kml would hold 100001 polygons.*; export .* GeoPackage\.$/);
  });

  it('an empty set is a document without folders', async () => {
    const [none, empty] = await made([
      { stem: 'zones', kind: 'zones', layers: [] },
      pointSet([polygonLayer('home', 0)], 'cells'),
    ]);
    expect(elementsNamed(readXml(documentOf(none)).root, 'Folder')).toEqual([]);
    expect(elementsNamed(readXml(documentOf(empty)).root, 'Folder')).toHaveLength(1);
  });
});

describe('KML as GDAL reads it', () => {
  let folder = '';
  let cellsFile = { name: '', bytes: Buffer.alloc(0) as Buffer };
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'sheaflight-kml-'));
    const written = await made([POINTS, CELLS]);
    cellsFile = written[1];
    for (const { name, bytes } of written) writeFileSync(join(folder, name), bytes);
  });
  afterAll(() => rmSync(folder, { recursive: true }));

  /** Of each feature: its fields as `name (Type)`, and its geometry under ``. */
  const features = (name: string): Record<string, string>[] | undefined =>
    gdal('ogrinfo', '-ro', '-al', join(folder, name))
      ?.split(/^OGRFeature.*$/m)
      .slice(1)
      .map((text) => {
        const fields = [...text.matchAll(/^ {2}(\w+ \(\w+\)) = (.*)$/gm)].map(([, field, shown]) => [
          field,
          shown,
        ]);
        const geometry =
          /^ {2}((?:POINT|POLYGON|MULTIPOLYGON|GEOMETRYCOLLECTION) .*)$/m.exec(text)?.[1] ?? '';
        return Object.fromEntries([...fields, ['', geometry]]);
      });

  it('finds every point of the KMZ within a centimetre, and its numbers', ({ skip }) => {
    const found = features('points.kmz');
    if (found === undefined) return skip(NO_GDAL);
    expect(found).toHaveLength(83);
    const [layer] = POINTS.layers;
    const { geometry, columns } = layer;
    if (geometry.kind !== 'point') throw new Error('points are points');
    for (let row = 0; row < layer.rows; row++) {
      const time = new Date(Math.round((NOON_S + row * 1.2) * 1000)).toISOString();
      const machine = row % 5 === 4 ? 'Mähdrescher 2' : 'combine <1> & "co"';
      const feature = found.find((one) => one['time (String)'] === time && one[''].startsWith('POINT (-95'));
      expect(feature === undefined).toBe(Number.isNaN(geometry.longitude_deg[row]));
      if (feature === undefined) continue;
      expect(feature['machine (String)']).toBe(machine);
      const [longitude_deg, latitude_deg] = (/-?[\d.]+ -?[\d.]+/.exec(feature['']) ?? [''])[0]
        .split(' ')
        .map(Number);
      expect(Math.abs(longitude_deg - geometry.longitude_deg[row])).toBeLessThan(0.51e-7);
      expect(Math.abs(latitude_deg - geometry.latitude_deg[row])).toBeLessThan(0.51e-7);
      for (const column of columns) {
        if (column.kind !== 'real') continue;
        const shown = feature[`${column.name} (String)`];
        if (Number.isNaN(column.numbers[row])) expect(shown ?? '(null)').toBe('(null)');
        else expect(Math.abs(Number(shown) - column.numbers[row])).toBeLessThan(0.51 * 10 ** -column.digits);
      }
    }
  });

  it('finds every polygon with its hole, and the parts of the one at the 180° meridian', ({ skip }) => {
    const found = features('cells.kml');
    if (found === undefined) return skip(NO_GDAL);
    expect(
      found.map((feature) => feature['yield_t_ha (Real)']).filter((text) => text !== undefined),
    ).toHaveLength(
      elementsNamed(readXml(documentOf(cellsFile)).root, 'SimpleData').filter(
        ({ attributes }) => attributes.name === 'yield_t_ha',
      ).length,
    );
    const texts = found.map((feature) => feature['']);
    expect(texts.filter((text) => /^POLYGON \(\([^()]+\),\([^()]+\)\)$/.test(text))).toHaveLength(35);
    expect(texts.filter((text) => /^(GEOMETRYCOLLECTION|MULTIPOLYGON) /.test(text))).toHaveLength(1);
  });
});
