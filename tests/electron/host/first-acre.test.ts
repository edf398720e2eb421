/** What comes before the first acre, as the window asks the host for it. */
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import type { BeamCheckReply, KeepSheetBody } from '../../../core/host-contract.ts';
import type { CheckMeasures } from '../../../core/install/check-measures.ts';
import type { PlacementSheet } from '../../../core/install/placement.ts';
import { FAULTS } from '../../synthetic/session-faults.ts';
import { type FirstLogCase, soundFirstLog } from '../../synthetic/sound-session.ts';
import { AskedHost, refusal } from './asked-host.ts';

const asked = new AskedHost();

function measuresOf({ sheet }: FirstLogCase): CheckMeasures {
  const { pitch_mm, thickness_mm, count } = sheet.paddle;
  return { pitch_mm, thickness_mm, beam_mm: sheet.beam?.height_mm, paddles: count };
}

function queryOf(measures: unknown): string {
  return `?measures=${encodeURIComponent(JSON.stringify(measures))}`;
}

async function checked(name: string, bytes: Uint8Array, measures: CheckMeasures): Promise<BeamCheckReply> {
  const response = await asked.ask('checkBeam', { name }, bytes, queryOf(measures));
  expect(response.status).toBe(200);
  return (await response.json()) as BeamCheckReply;
}

const COLUMN: PlacementSheet = {
  column_depth_mm: 88.9,
  column_width_mm: 152.4,
  paddle: { pitch_mm: 203.2, thickness_mm: 10, width_mm: 140, depth_mm: 80 },
  reach_inside_mm: null,
};

describe('a short log', () => {
  it('is judged without any season, packed or not, and stays where it was', async () => {
    const first = soundFirstLog(4);
    const { check, generated_by } = await checked('first.log.gz', gzipSync(first.bytes), measuresOf(first));
    expect(check).toMatchObject({ source: 'first.log.gz', verdict: 'good' });
    expect(check.findings.length).toBeGreaterThan(8);
    expect(generated_by).toMatch(/^sheaflight/i);
    expect(existsSync(join(asked.scratch, 'home')) ? readdirSync(join(asked.scratch, 'home')) : []).toEqual(
      [],
    );
  });

  it('is refused with a sentence where it, or what is said of the paddles, cannot be used', async () => {
    const { bytes } = soundFirstLog(4);
    const far = asked.ask('checkBeam', { name: 'a' }, bytes, queryOf({ pitch_mm: 8, thickness_mm: 10 }));
    expect(await refusal(far)).toMatchObject({
      status: 422,
      text: expect.stringContaining('pitch of the paddles is given as 8 mm'),
    });
    const half = asked.ask(
      'checkBeam',
      { name: 'a' },
      bytes,
      queryOf({ pitch_mm: 200, thickness_mm: 9, paddles: 50.5 }),
    );
    expect((await refusal(half)).status).toBe(400);
    expect(await refusal(asked.ask('checkBeam', { name: 'a' }, bytes))).toMatchObject({ status: 400 });
    const photo = Uint8Array.of(0xff, 0xd8, 0xff, 0xe0, 0, 16, 74, 70, 73, 70);
    const measures = queryOf({ pitch_mm: 200, thickness_mm: 10 });
    const noLog = asked.ask('checkBeam', { name: 'photo.jpg' }, photo, measures);
    expect((await refusal(noLog)).text).toContain('photo.jpg is not a logger file');
  });

  it('of a season is judged too, and no other file of it', async () => {
    const first = FAULTS.find(({ name }) => name === 'connector opens')?.make(3);
    if (first === undefined) throw new Error('no such fault');
    const { season, folder } = await asked.newSeason();
    mkdirSync(join(folder, 'logs'), { recursive: true });
    writeFileSync(join(folder, 'logs', 'first.log'), first.bytes);
    const sheet = JSON.parse(readFileSync(join(folder, 'season.json'), 'utf8'));
    sheet.machines = [{ id: 'c1', name: 'combine 1', header: { width_m: 9 } }];
    sheet.logs = [{ machine: 'c1', files: ['logs/first.log'] }];
    writeFileSync(join(folder, 'season.json'), JSON.stringify(sheet));
    await asked.reply('reloadSeason', { season });
    const measures = measuresOf(first);
    const { check } = await asked.reply('checkSeasonLog', { season }, { path: 'logs/first.log', measures });
    expect([check.verdict, check.causes[0]]).toEqual(['mend', 'loose_connector']);
    const other = asked.ask('checkSeasonLog', { season }, { path: 'season.json', measures });
    expect(await refusal(other)).toMatchObject({ status: 404, code: 'no_such_file' });
  });
});

describe('sheets kept in a season', () => {
  it('stand in its out/, each under the name of its machine and log', async () => {
    const { season, folder } = await asked.newSeason();
    const placement: KeepSheetBody = {
      kind: 'placement',
      machine: 'Combine 1',
      units: 'us',
      paper: 'letter',
      measures: COLUMN,
    };
    const kept = await asked.reply('keepSheet', { season }, placement);
    expect(kept.files.map(({ path }) => path)).toEqual(['out/placement-combine-1.html']);
    const sheet = readFileSync(join(folder, kept.files[0].path), 'utf8');
    expect(sheet).toContain('62 in');
    expect(sheet).toContain('Drilling template');

    const first = soundFirstLog(4);
    const { record } = await checked('first.log.gz', gzipSync(first.bytes), measuresOf(first));
    const body: KeepSheetBody = { kind: 'record', machine: '../<b>1', paper: 'a4', record };
    const { files } = await asked.reply('keepSheet', { season }, body);
    expect(files[0].path).toBe('out/beam-check-b-1-first.html');
    const page = readFileSync(join(folder, files[0].path), 'utf8');
    expect(page).toContain('../&lt;b&gt;1');
    expect(page).not.toContain('<b>1');
  });

  it('are refused for places without room, and for checks that are gone', async () => {
    const { season } = await asked.newSeason();
    const body = { kind: 'placement', machine: 'c', units: 'us', paper: 'a4' };
    const shallow = { ...body, measures: { ...COLUMN, column_depth_mm: 3.5 } };
    expect(await refusal(asked.ask('keepSheet', { season }, shallow))).toMatchObject({
      status: 422,
      text: expect.stringContaining('depth of the column is given as 3.5 mm'),
    });
    const stray = { ...body, measures: { ...COLUMN, html: '<script>' } };
    expect((await refusal(asked.ask('keepSheet', { season }, stray))).status).toBe(400);
    const gone = { kind: 'record', machine: 'c', paper: 'a4', record: 'gone' };
    expect(await refusal(asked.ask('keepSheet', { season }, gone))).toMatchObject({ status: 404 });
  });
});
