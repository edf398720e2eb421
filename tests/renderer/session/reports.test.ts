import { describe, expect, it } from 'vitest';
import type { JobReply } from '../../../core/host-contract.ts';
import { type HostClient, HostTrouble } from '../../../renderer/host-client/host-client.ts';
import { Reports } from '../../../renderer/session/reports.ts';
import { Session } from '../../../renderer/session/session.ts';
import { standInHost } from './stand-in-host.ts';

const MADE = {
  files: [
    { path: 'out/home-report.pdf', bytes: 9 },
    { path: 'out/home-report.html', bytes: 5 },
  ],
  notices: [],
};

const ended = (change: Partial<JobReply>): JobReply => ({
  job: 'job-1',
  season: 'key',
  kind: 'report',
  state: 'done',
  stage: 'done',
  fraction: 1,
  error: null,
  report: null,
  ...change,
});

function reportsWith(end: JobReply, makeReports: () => unknown = () => end) {
  const { client } = standInHost();
  const sent: unknown[] = [];
  const call: HostClient['call'] = async (route, steps, ...body) => {
    if (route !== 'makeReports') return client.call(route, steps, ...body);
    sent.push(body[0]);
    return makeReports() as never;
  };
  const reports = new Reports(new Session({ ...client, call, watchJob: async () => end }));
  reports.open('key');
  return { reports, sent };
}

describe('reports', () => {
  it('are made as they are chosen, and the first page of them is shown', async () => {
    const { reports, sent } = reportsWith(ended({ reported: MADE }));
    reports.choose({ season: true, paper: 'a4' });
    await reports.make({ ...reports.state.choice, units: 'us' });
    const choice = { fields: 'all', season: true, formats: ['html', 'pdf'], paper: 'a4', units: 'us' };
    expect(sent).toEqual([choice]);
    const first = reports.state.preview;
    expect(reports.state).toMatchObject({
      made: MADE,
      isMaking: false,
      preview: { path: MADE.files[1].path },
    });
    // made again, the frame must load again
    await reports.make(reports.state.choice);
    expect(reports.state.preview?.making).not.toBe(first?.making);
    reports.open('another');
    expect(reports.state).toMatchObject({ made: null, preview: null, choice: { season: false } });
  });

  it('say why they failed, and that they were stopped', async () => {
    const error = { code: 'disk_full', text: 'The disk is full.' };
    const { reports: failed } = reportsWith(ended({ state: 'failed', error }));
    await failed.make(failed.state.choice);
    expect(failed.state).toMatchObject({ trouble: 'The disk is full.', made: null, preview: null });
    const { reports: stopped } = reportsWith(ended({ state: 'cancelled', error }));
    await stopped.make(stopped.state.choice);
    expect(stopped.state).toMatchObject({ trouble: null, isStopped: true, preview: null });
    const { reports: refused } = reportsWith(ended({}), () => {
      throw new HostTrouble({ code: 'no_result', text: 'Not built yet.' }, 404);
    });
    await refused.make(refused.state.choice);
    expect(refused.state).toMatchObject({ trouble: 'Not built yet.', isMaking: false });
  });
});
