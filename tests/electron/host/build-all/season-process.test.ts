import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { buildInProcess } from '../../../../electron/host/build-all/season-process.ts';

const ORDER = {
  folder: '/nowhere',
  out: '/nowhere/out',
  points: 'kept',
  eachField: false,
  usesCache: false,
  isOneOfMany: true,
} as const;

let scratch = '';
beforeAll(() => {
  scratch = mkdtempSync(join(tmpdir(), 'sheaflight-process-'));
});
afterAll(() => rmSync(scratch, { recursive: true }));

/** What becomes of a process that runs this instead of building. */
function endOf(code: string, signal = new AbortController().signal, onProgress = () => undefined as unknown) {
  const script = join(scratch, 'stand-in.cjs');
  writeFileSync(script, code);
  return buildInProcess(ORDER, { script, signal, onProgress });
}

describe('a process that builds a season', () => {
  it('that runs out of memory is said to have', async () => {
    const code = `
      const kept = [];
      process.on('message', () => { for (;;) kept.push({ text: String(kept.length) }); });`;
    const before = process.env.NODE_OPTIONS;
    process.env.NODE_OPTIONS = '--max-old-space-size=12';
    const end = await endOf(code);
    process.env.NODE_OPTIONS = before ?? '';
    expect(end).toEqual({
      kind: 'failed',
      text: 'it ran out of memory; run it again with --jobs 1, or split the season into several.',
    });
  });

  it.each([
    [
      `process.kill(process.pid, 'SIGKILL')`,
      /ended by the system or by someone, as systems do where memory runs out/,
    ],
    [`process.exit(137)`, /ended by the system or by someone/],
    [`process.exit(7)`, /ended with code 7 before it was done/],
    [`process.abort()`, /ended by SIGABRT before it was done/],
  ])('that ends by %s is a failure in words', async (code, words) => {
    const end = await endOf(`process.on('message', () => { ${code}; });`);
    expect(end).toMatchObject({ kind: 'failed', text: expect.stringMatching(words) });
  });

  it('is believed when it has built, however it ends then, and hands on its remarks and faults', async () => {
    const built = `process.on('message', () => {
      process.send({ kind: 'remark', text: 'odd' });
      process.send({ kind: 'built' }, () => process.kill(process.pid, 'SIGKILL'));
    });`;
    expect(await endOf(built)).toEqual({ kind: 'built', remarks: ['odd'] });
    const fault = `process.on('message', () => process.send({ kind: 'fault', stack: 'at x' }, () => process.exit()));`;
    expect(await endOf(fault)).toEqual({ kind: 'fault', stack: 'at x' });
  });

  it('is ended when it is to stop, and none is started for what is stopped already', async () => {
    const stop = new AbortController();
    const waiting = `process.on('message', () => process.send({ kind: 'progress', stage: 's', share: 0 }));
      setInterval(() => undefined, 1000);`;
    expect(await endOf(waiting, stop.signal, () => stop.abort())).toEqual({ kind: 'stopped' });
    expect(await endOf(`process.on('message', () => process.exit(7))`, stop.signal)).toEqual({
      kind: 'stopped',
    });
  });
});
