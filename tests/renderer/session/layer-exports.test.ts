import { describe, expect, it } from 'vitest';
import type { JobReply } from '../../../core/host-contract.ts';
import type { HostClient } from '../../../renderer/host-client/host-client.ts';
import { HostTrouble } from '../../../renderer/host-client/host-client.ts';
import { firstChoice, LayerExports } from '../../../renderer/session/layer-exports.ts';
import { Session } from '../../../renderer/session/session.ts';
import { standInHost } from './stand-in-host.ts';

const WRITTEN = { files: [{ path: 'out/export/a.csv', bytes: 10 }], features: 3, notices: [] };

function exportsWith(change: Partial<HostClient>, answers: Record<string, () => unknown> = {}) {
  const { client } = standInHost();
  const sent: unknown[] = [];
  const call: HostClient['call'] = async (route, steps, ...body) => {
    if (route === 'exportLayers') sent.push(body[0]);
    const answer = answers[route];
    return answer === undefined ? client.call(route, steps, ...body) : (answer() as never);
  };
  return { exports: new LayerExports(new Session({ ...client, call, ...change })), sent };
}

const ended = (change: Partial<JobReply>): JobReply => ({
  job: 'job-1',
  season: 'key',
  kind: 'export',
  state: 'done',
  stage: 'done',
  fraction: 1,
  error: null,
  report: null,
  ...change,
});

describe('exports of layers', () => {
  it('begin with what was chosen last, unless someone was quicker', async () => {
    const last = { ...firstChoice('us'), formats: ['kml'] as const };
    const remembered = { readExportChoice: () => ({ choice: last }) };
    const { exports } = exportsWith({}, remembered);
    await exports.open('key');
    expect(exports.state.choice).toEqual(last);
    const { exports: other } = exportsWith({}, remembered);
    const opening = other.open('key');
    other.choose(firstChoice('metric'));
    await opening;
    expect(other.state.choice).toEqual(firstChoice('metric'));
  });

  it('write what is chosen, of some fields, and tell of the files', async () => {
    const { exports, sent } = exportsWith({ watchJob: async () => ended({ exported: WRITTEN }) });
    await exports.open('key');
    exports.chooseFields(['Home']);
    await exports.write({ ...firstChoice('us'), fields: ['Home'] });
    expect(sent).toEqual([{ ...firstChoice('us'), fields: ['Home'] }]);
    expect(exports.state).toMatchObject({ isWriting: false, written: WRITTEN, choice: firstChoice('us') });
    await exports.open('another');
    expect(exports.state).toMatchObject({ written: null, fields: null, choice: firstChoice('us') });
  });

  it('say why they failed, and that they were stopped', async () => {
    const error = { code: 'disk_full', text: 'The disk is full.' };
    const { exports } = exportsWith({ watchJob: async () => ended({ state: 'failed', error }) });
    await exports.open('key');
    await exports.write(firstChoice('us'));
    expect(exports.state).toMatchObject({ trouble: 'The disk is full.', written: null });
    const { exports: stopped } = exportsWith({ watchJob: async () => ended({ state: 'cancelled', error }) });
    await stopped.open('key');
    await stopped.write(firstChoice('us'));
    expect(stopped.state).toMatchObject({ trouble: null, isStopped: true });
    const refused = () => {
      throw new HostTrouble({ code: 'no_result', text: 'Not built yet.' }, 404);
    };
    const { exports: early } = exportsWith({}, { exportLayers: refused });
    await early.open('key');
    await early.write(firstChoice('us'));
    expect(early.state).toMatchObject({ trouble: 'Not built yet.', isWriting: false });
  });
});
