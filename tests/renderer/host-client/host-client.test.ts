import { describe, expect, it } from 'vitest';
import type { JobReply } from '../../../core/host-contract.ts';
import { eventFrom } from '../../../renderer/host-client/event-stream.ts';
import { HostTrouble, hostClient } from '../../../renderer/host-client/host-client.ts';

function clientThatHears(answer: (path: string, request: RequestInit) => Response | Promise<Response>) {
  return hostClient(async (input, request) => answer(String(input), request ?? {}));
}

const job = (state: JobReply['state'], fraction: number): JobReply => ({
  job: 'j',
  season: 's',
  kind: 'build',
  state,
  stage: 'reading logs',
  fraction,
  error: null,
  report: null,
});

describe('host client', () => {
  it('asks with the method, path and body of the contract', async () => {
    let asked: unknown;
    const client = clientThatHears((path, { method, body }) => {
      asked = { path, method, body };
      return Response.json({});
    });
    await client.call('undo', { season: 'a b' }, { revision: 'r1' });
    expect(asked).toEqual({ path: '/api/seasons/a%20b/undo', method: 'POST', body: '{"revision":"r1"}' });
  });

  it('hands on the sentence of a refusal, with its status', async () => {
    const client = clientThatHears(() =>
      Response.json({ code: 'disk_full', text: 'The disk is full.' }, { status: 507 }),
    );
    const refusal = client.call('readHome', {});
    await expect(refusal).rejects.toBeInstanceOf(HostTrouble);
    await expect(refusal).rejects.toMatchObject({ status: 507, reply: { code: 'disk_full' } });
  });

  it('says in a sentence that the host is silent, or speaks nonsense', async () => {
    const silent = clientThatHears(() => Promise.reject(new TypeError('failed to fetch')));
    await expect(silent.call('readHome', {})).rejects.toThrow(/does not answer/);
    const odd = clientThatHears(() => new Response('<html>', { status: 500 }));
    await expect(odd.call('readHome', {})).rejects.toThrow(
      'The program answered with status 500; try again.',
    );
  });

  it('follows a job, however its events are cut into pieces', async () => {
    const text = [job('running', 0.5), job('done', 1)]
      .map((state) => `event: job\r\ndata: ${JSON.stringify(state)}\r\n\r\n`)
      .join(': still here\n\n');
    const client = clientThatHears(() => {
      const bytes = new TextEncoder().encode(text);
      const pieces = Array.from({ length: Math.ceil(bytes.length / 7) }, (_, i) =>
        bytes.slice(7 * i, 7 * i + 7),
      );
      return new Response(ReadableStream.from(pieces));
    });
    const seen: number[] = [];
    const ended = await client.watchJob(
      'j',
      ({ fraction }) => seen.push(fraction),
      new AbortController().signal,
    );
    expect(seen).toEqual([0.5, 1]);
    expect(ended.state).toBe('done');
  });

  it('asks how a job stands when its stream is cut off', async () => {
    const client = clientThatHears((path) =>
      path.endsWith('/events') ? new Response('') : Response.json(job('failed', 0.3)),
    );
    const ended = await client.watchJob('j', () => undefined, new AbortController().signal);
    expect(ended.state).toBe('failed');
  });
});

describe('one event', () => {
  it('has a name, and text of one or more lines', () => {
    expect(eventFrom('event: job\ndata: a\ndata: b')).toEqual({ name: 'job', text: 'a\nb' });
    expect(eventFrom('data:a')).toEqual({ name: 'message', text: 'a' });
    expect(eventFrom(': nothing')).toBeUndefined();
  });
});
