import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { tileOrigin } from '../../../core/base-map.ts';
import { AskedHost, ORIGIN, refusal } from './asked-host.ts';

const asked = new AskedHost();

/** The first bytes of an archive, and some more. */
const ARCHIVE = Uint8Array.of(...[...'PMTiles'].map((letter) => letter.charCodeAt(0)), 3, 10, 11, 12, 13);

describe('a base map of the user’s own', () => {
  const choose = (kind: 'file' | 'address', at: string) => ({
    base_map: { kind, at, attribution: 'Survey' },
  });

  it('is none at first, remembered by the next host, and taken away again', async () => {
    expect(await asked.reply('readBaseMap')).toEqual({ base_map: null, problem: null });
    const path = join(asked.scratch, 'county.pmtiles');
    writeFileSync(path, ARCHIVE);
    await asked.reply('setBaseMap', {}, choose('file', path));
    asked.host = asked.made();
    expect(await asked.reply('readBaseMap')).toEqual({ ...choose('file', path), problem: null });
    expect(await asked.host.tiles()).toBeUndefined();
    await asked.reply('setBaseMap', {}, choose('address', 'https://tiles.example.org/{z}/{x}/{y}.png'));
    expect(await asked.host.tiles()).toBe('https://tiles.example.org');
    await asked.reply('setBaseMap', {}, { base_map: null });
    expect(await asked.host.tiles()).toBeUndefined();
  });

  it('gives the archive piece by piece', async () => {
    const path = join(asked.scratch, 'county.pmtiles');
    writeFileSync(path, ARCHIVE);
    expect(await refusal(asked.ask('readTiles'))).toMatchObject({ status: 404 });
    await asked.reply('setBaseMap', {}, choose('file', path));
    const piece = (range: string) =>
      asked.host.handler(new Request(`${ORIGIN}/api/base-map/tiles`, { headers: { range } }));
    const middle = await piece('bytes=7-9');
    expect([middle.status, middle.headers.get('content-range')]).toEqual([206, 'bytes 7-9/12']);
    expect([...new Uint8Array(await middle.arrayBuffer())]).toEqual([3, 10, 11]);
    const end = await piece('bytes=10-16383');
    expect([...new Uint8Array(await end.arrayBuffer())]).toEqual([12, 13]);
    expect((await piece('bytes=12-20')).status).toBe(416);
    expect((await (await asked.ask('readTiles')).arrayBuffer()).byteLength).toBe(12);
  });

  it('is refused when it is no archive or no address', async () => {
    const path = join(asked.scratch, 'picture.pmtiles');
    writeFileSync(path, 'something else');
    for (const [body, text] of [
      [choose('file', path), 'no PMTiles archive'],
      [choose('file', join(asked.scratch, 'nothing')), 'cannot be read'],
      [choose('file', 'picture.pmtiles'), 'not a whole path'],
      [choose('address', 'https://tiles.example.org/map.png'), 'no address of tiles'],
    ] as const)
      expect(await refusal(asked.ask('setBaseMap', {}, body))).toMatchObject({
        status: 422,
        text: expect.stringContaining(text),
      });
  });

  it('has an origin that can stand in a policy, or none', () => {
    expect(tileOrigin('https://Tiles.example.org:8443/a/{z}/{x}/{y}.png?key=1')).toBe(
      'https://tiles.example.org:8443',
    );
    for (const odd of [
      'ftp://a.example.org/{z}/{x}/{y}',
      'https://a.example.org; script-src *//{z}/{x}/{y}',
      'https://user@a.example.org/{z}/{x}/{y}',
      'https://{x}.example.org/{z}/{y}',
      'https://a.example.org/{z}/{x}',
      "https://a.example.org' 'unsafe-inline'/{z}/{x}/{y}",
      '*/{z}/{x}/{y}',
    ])
      expect(tileOrigin(odd)).toBeUndefined();
  });
});
