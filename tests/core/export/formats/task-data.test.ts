import fc from 'fast-check';
import { zipSync } from 'fflate';
import { type ExtendedTimeLog, ISOXMLManager, type Task } from 'isoxml';
import { describe, expect, it } from 'vitest';
import type { LayerSet } from '../../../../core/export/formats/format.ts';
import { designator } from '../../../../core/export/formats/task-data/designator.ts';
import { TASK_DATA } from '../../../../core/export/formats/task-data/task-data.ts';
import type { ExportLayer } from '../../../../core/export/layers/layer.ts';
import { bytesOf, FIELD_NAMES, NOON_S, PROVENANCE, pointLayer, pointSet } from './layer-fixture.ts';
import { elementsNamed, readXml } from './xml-reading.ts';

const LAYERS = [pointLayer('home', 60), pointLayer('fiji', 30), { ...pointLayer('home', 0), field: 'Empty' }];
const SETS: readonly LayerSet[] = [pointSet(LAYERS)];

async function made(sets: readonly LayerSet[], provenance = PROVENANCE): Promise<Record<string, Buffer>> {
  const files = await TASK_DATA.files(sets, provenance);
  return Object.fromEntries(
    await Promise.all(files.map(async ({ name, pieces }) => [name, await bytesOf(pieces)] as const)),
  );
}

/** As the reader of ISO 11783-10 of the package isoxml has it. */
async function readBack(files: Readonly<Record<string, Buffer>>): Promise<ISOXMLManager> {
  const manager = new ISOXMLManager();
  const entries = Object.entries(files).map(([name, bytes]) => [name, new Uint8Array(bytes)]);
  await manager.parseISOXMLFile(zipSync(Object.fromEntries(entries)), 'application/zip');
  // that reader writes the endings of time logs small; the standard's examples have capitals, as here
  expect(manager.getWarnings().filter((text) => !text.startsWith('Letter case of filename TLG'))).toEqual([]);
  return manager;
}

const column = (layer: ExportLayer, name: string) => {
  const found = layer.columns.find((one) => one.name === name);
  if (found === undefined || found.kind === 'text') throw new Error(`no numbers ${name}`);
  return found.numbers;
};

describe('task data as a reader of ISO 11783-10 that is not ours sees them', () => {
  it('names program, farm, fields with boundary, crops and machines', async () => {
    const manager = await readBack(await made(SETS));
    const { attributes } = manager.rootElement;
    expect(attributes).toMatchObject({
      VersionMajor: '4',
      ManagementSoftwareManufacturer: 'Sheaflight',
      ManagementSoftwareVersion: '9.9.9',
      TaskControllerManufacturer: 'Sheaflight',
      DataTransferOrigin: '1',
    });
    expect(attributes.Farm?.map((farm) => farm.attributes.FarmDesignator)).toEqual([
      'Heron Bottom & <Sons> 2026',
    ]);
    expect(attributes.CropType?.map((crop) => crop.attributes.CropTypeDesignator)).toEqual([
      'corn',
      'soybean "süß"',
    ]);
    const fields = attributes.Partfield ?? [];
    expect(fields.map((field) => field.attributes.PartfieldDesignator)).toEqual([
      'Home',
      FIELD_NAMES.fiji,
      'Empty',
    ]);
    const [home] = fields;
    const [polygon, ...others] = home.attributes.PolygonnonTreatmentZoneonly ?? [];
    expect(others).toEqual([]);
    const rings = polygon.attributes.LineString ?? [];
    expect(rings.map((ring) => ring.attributes.LineStringType)).toEqual(['1', '2']);
    expect(
      rings[0].attributes.Point?.map(({ attributes: { PointNorth, PointEast } }) => [PointEast, PointNorth]),
    ).toEqual([
      [-95.5, 41.25],
      [-95.49, 41.25],
      [-95.49, 41.251],
      [-95.5, 41.251],
      [-95.5, 41.25],
    ]);
    // 0.01° by 0.001°, less half of 0.001° by 0.0002°: N cos φ Δλ · M Δφ with the radii of WGS84 [C]
    const sine = Math.sin((41.2505 * Math.PI) / 180);
    const bent = 1 - 0.00669437999014 * sine ** 2;
    const degree_m2 =
      ((6378137 ** 2 * (1 - 0.00669437999014)) / bent ** 2) * Math.sqrt(1 - sine ** 2) * (Math.PI / 180) ** 2;
    expect(Math.abs((home.attributes.PartfieldArea ?? 0) - degree_m2 * (1e-5 - 1e-7))).toBeLessThan(5);
    const devices = attributes.Device ?? [];
    expect(devices.map((device) => device.attributes.DeviceDesignator)).toEqual([
      'combine <1> & "co"',
      'Mähdrescher 2',
    ]);
    expect(new Set(devices.map((device) => device.attributes.ClientNAME)).size).toBe(2);
    for (const { attributes: device } of devices) {
      const objects = [
        ...(device.DeviceProcessData ?? []).map((one) => one.attributes.DeviceProcessDataObjectId),
        ...(device.DeviceProperty ?? []).map((one) => one.attributes.DevicePropertyObjectId),
      ];
      const references = (device.DeviceElement ?? []).flatMap((element) =>
        (element.attributes.DeviceObjectReference ?? []).map((one) => one.attributes.DeviceObjectId),
      );
      expect([...new Set(references)].sort()).toEqual(objects.sort());
    }
  });

  it('gives every place to a centimetre and every value back, absent ones as no value', async () => {
    const manager = await readBack(await made(SETS));
    const tasks = (manager.rootElement.attributes.Task ?? []) as Task[];
    expect(tasks.map((task) => task.attributes.TaskStatus)).toEqual(['4', '4', '4', '4']);
    const seen: string[] = [];
    for (const task of tasks) {
      const log = task.attributes.TimeLog?.[0] as ExtendedTimeLog;
      const { timeLogs, valuesInfo } = log.parseBinaryFile();
      expect(log.parsingErrors).toEqual([]);
      const key = (ddi: number) => valuesInfo.find(({ DDINumber }) => DDINumber === ddi)?.valueKey ?? '';
      const layer = task.attributes.PartfieldIdRef?.xmlId === 'PFD1' ? LAYERS[0] : LAYERS[1];
      const standard_pct = layer.standard_moisture_pct ?? Number.NaN;
      for (const { time, position, values } of timeLogs) {
        const row = Math.round((time.getTime() / 1000 - NOON_S) / 1.2);
        seen.push(`${layer.field} ${row}`);
        if (layer.geometry.kind !== 'point') throw new Error('points are points');
        expect(time.getTime()).toBe(Math.round((NOON_S + row * 1.2) * 1000));
        expect(position?.PositionEast).toBeCloseTo(layer.geometry.longitude_deg[row], 7);
        expect(position?.PositionNorth).toBeCloseTo(layer.geometry.latitude_deg[row], 7);
        expect([position?.PositionStatus, position?.GpsUtcTime]).toEqual(['1', time.getTime() % 86_400_000]);
        const at = (name: string) => column(layer, name)[row];
        const expected: readonly (readonly [number, number])[] = [
          [87, at('mass_flow_kg_s') * 1e6],
          [99, at('moisture_pct') * 1e4],
          [67, at('cut_width_m') * 1e3],
          [397, at('speed_m_s') * 1e3],
          [181, at('yield_t_ha') * 1e5],
          [84, (at('yield_t_ha') * 1e5 * (100 - standard_pct)) / (100 - at('moisture_pct'))],
          [184, standard_pct * 1e4],
        ];
        for (const [ddi, number] of expected) {
          if (Number.isNaN(number)) expect(values).not.toHaveProperty(key(ddi));
          else expect(Math.abs(values[key(ddi)] - number)).toBeLessThanOrEqual(0.5 + 1e-6);
        }
        expect(values[key(141)]).toBe(Number.isNaN(at('pass')) ? 0 : 1);
      }
    }
    // all but those without a place
    expect([seen.length, new Set(seen).size]).toEqual([60 - 5 + 30 - 2, 60 - 5 + 30 - 2]);
  });

  it('shows numbers in units that people use', async () => {
    const manager = await readBack(await made(SETS));
    const log = (manager.rootElement.attributes.Task ?? [])[0].attributes.TimeLog?.[0] as ExtendedTimeLog;
    const shown = Object.fromEntries(
      log.parseBinaryFile().valuesInfo.map(({ DDINumber, unit, scale }) => [DDINumber, [unit, scale]]),
    );
    // units of ISO 11783-11: mg/m², mg/s, ppm, mm, mm/s
    expect(shown).toMatchObject({
      84: ['t/ha', 1e-5],
      87: ['kg/s', 1e-6],
      99: ['%', 1e-4],
      67: ['m', 1e-3],
      397: ['m/s', 1e-3],
    });
  });

  it('stands any name, across every field and machine', async () => {
    const names = fc.string({ unit: 'binary', maxLength: 40 });
    await fc.assert(
      fc.asyncProperty(names, names, names, async (field, crop, season) => {
        const layer = pointLayer('home', 6);
        const columns = layer.columns.map((one) =>
          one.name === 'machine' && one.kind === 'text' ? { ...one, words: [field, crop] } : one,
        );
        const files = await made([pointSet([{ ...layer, field, crop, columns }])], {
          ...PROVENANCE,
          season,
          settings: `"${field}"`,
        });
        const { root, comments } = readXml(String(files['TASKDATA/TASKDATA.XML']));
        expect(elementsNamed(root, 'PFD')).toHaveLength(1);
        expect(comments).toHaveLength(2 + PROVENANCE.remarks.length + PROVENANCE.inputs.length);
        await readBack(files);
      }),
      { seed: 5, numRuns: 40 },
    );
  });
});

describe('task data as bytes', () => {
  it('is a folder in capitals; records are as ISO 11783-10 lays them out', async () => {
    const files = await made([pointSet([pointLayer('fiji', 3)])]);
    expect(Object.keys(files)).toEqual([
      'TASKDATA/TASKDATA.XML',
      'TASKDATA/TLG00001.XML',
      'TASKDATA/TLG00001.BIN',
    ]);
    const { root } = readXml(String(files['TASKDATA/TLG00001.XML']));
    expect(elementsNamed(root, 'DLV').map(({ attributes }) => attributes.A)).toEqual([
      ...['0054', '00B5', '00B8', '0057', '0063', '0043', '018D', '008D'],
    ]);
    const record = files['TASKDATA/TLG00001.BIN'];
    expect(record).toHaveLength(3 * (22 + 8 * 5));
    // noon, 2026-10-03: 46 years with 12 leap days and 275 days after 1980-01-01 [C]
    expect(record.readUInt32LE(0)).toBe(12 * 3600 * 1000);
    expect(record.readUInt16LE(4)).toBe(46 * 365 + 12 + 275);
    expect(record.readInt32LE(6)).toBe(-165_000_000);
    expect(record.readInt32LE(10)).toBe(1_799_994_500);
    expect([record[14], record[21]]).toEqual([1, 8]);
    // place 3 is mass per time: 8 kg/s
    expect([record[22 + 3 * 5], record.readInt32LE(22 + 3 * 5 + 1)]).toEqual([3, 8_000_000]);
  });

  it('tells its making in comments and is the same bytes again; nothing to export is a file without tasks', async () => {
    const files = await made(SETS);
    const { comments } = readXml(String(files['TASKDATA/TASKDATA.XML']));
    expect(comments.map((comment) => comment.trim())).toEqual([
      'Made by Sheaflight 9.9.9 from the season "Heron Bottom & <Sons> 2026".',
      'Home: yields at 15.5 % moisture - - as sold.',
      'Estimate only. Not a legal-for-trade weight. Settle on certified scale tickets.',
      `From logs/combine "1".log, sha256 ${'ab'.repeat(32)}`,
      'Settings: {"units":"us"}',
    ]);
    expect(await made(SETS)).toEqual(files);
    const nothing = await readBack(await made([{ stem: 'points', kind: 'points', layers: [] }]));
    expect(nothing.rootElement.attributes.Task).toBeUndefined();
  });

  it('has a folder for each field where files are asked for each', async () => {
    const files = await made([
      pointSet([pointLayer('home', 2)], 'home-points'),
      pointSet([pointLayer('fiji', 2)], 'ost-points'),
    ]);
    expect(Object.keys(files).filter((name) => name.endsWith('TASKDATA.XML'))).toEqual([
      'home/TASKDATA/TASKDATA.XML',
      'ost/TASKDATA/TASKDATA.XML',
    ]);
  });

  it('leaves out what 32 bits do not hold, and cuts names where the standard has no room', async () => {
    const layer = pointLayer('home', 1);
    const columns = layer.columns.map((one) =>
      one.name === 'yield_t_ha' && one.kind !== 'text' ? { ...one, numbers: Float64Array.of(21_475) } : one,
    );
    const manager = await readBack(await made([pointSet([{ ...layer, columns }])]));
    const log = (manager.rootElement.attributes.Task ?? [])[0].attributes.TimeLog?.[0] as ExtendedTimeLog;
    const [record] = log.parseBinaryFile().timeLogs;
    expect(Object.keys(record.values).map((key) => key.slice(0, 4))).not.toContain('00B5');
    expect(designator('北'.repeat(40))).toBe(`${'北'.repeat(31)}…`);
    expect(designator(' two\r\nlines ')).toBe('two lines');
  });
});
