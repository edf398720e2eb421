/** A host in a scratch folder, and requests to it as the window makes them. */
import { mkdtempSync, realpathSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeEach, expect } from 'vitest';
import {
  type Bodies,
  type ErrorReply,
  type JobReply,
  pathTo,
  type Replies,
  ROUTES,
  type RouteName,
  type SeasonReply,
} from '../../../core/host-contract.ts';
import { createHost, type Host, type HostOptions } from '../../../electron/host/host.ts';
import { WorkerPool } from '../../../electron/host/worker-pool.ts';

export const ORIGIN = 'http://127.0.0.1:1';

export type Steps = Readonly<Partial<Record<'season' | 'job' | 'build' | 'field' | 'name', string>>>;
type BodyOf<K> = K extends keyof Bodies ? Bodies[K] : undefined;

export class AskedHost {
  /** A folder of its own for each test; the library is `home` in it. */
  scratch = '';
  host: Host;
  readonly #pool = new WorkerPool();
  readonly #made: Host[] = [];

  /** Registers itself with the tests of the file that makes it. */
  constructor() {
    this.host = createHost({ pool: this.#pool });
    beforeEach(() => {
      this.scratch = realpathSync(mkdtempSync(join(tmpdir(), 'sheaflight-handler-')));
      this.host = this.made();
    });
    afterEach(async () => {
      for (const one of this.#made.splice(0)) {
        for (const { key, store } of one.services.sessions.all()) {
          await one.services.jobs.cancelSeason(key);
          await one.services.pool.leave(store.folder);
        }
        await one.services.sessions.closeAll();
      }
      rmSync(this.scratch, { recursive: true, force: true });
    });
    afterAll(() => this.#pool.close());
  }

  /** Another host on the same library, as a second window would be. */
  made(options: HostOptions = {}): Host {
    const environment = { HOME: this.scratch, XDG_DATA_HOME: join(this.scratch, 'data') };
    const home = join(this.scratch, 'home');
    const one = createHost({ environment, home, pool: this.#pool, ...options });
    this.#made.push(one);
    return one;
  }

  ask(route: RouteName, steps: Steps = {}, body?: unknown, query = ''): Promise<Response> {
    const init: RequestInit = { method: ROUTES[route].method };
    if (body instanceof Uint8Array)
      Object.assign(init, { body, headers: { 'content-type': 'application/octet-stream' } });
    else if (body !== undefined)
      Object.assign(init, { body: JSON.stringify(body), headers: { 'content-type': 'application/json' } });
    const path = pathTo(route, steps as Record<string, string>);
    return this.host.handler(new Request(`${ORIGIN}${path}${query}`, init));
  }

  /** The reply of a route that answers JSON; throws when it is refused. */
  async reply<K extends keyof Replies & RouteName>(
    route: K,
    steps: Steps = {},
    body?: BodyOf<K> | Uint8Array,
  ): Promise<Replies[K]> {
    const response = await this.ask(route, steps, body);
    const found = await response.json();
    if (response.status !== 200) throw new Error(`${response.status} ${JSON.stringify(found)}`);
    return found as Replies[K];
  }

  newSeason(name = 'Kestrel'): Promise<SeasonReply> {
    return this.reply('createSeason', {}, { name, units: 'us' });
  }

  /** Follows a job to its end by its events. */
  async followed(job: string): Promise<JobReply[]> {
    const response = await this.ask('watchJob', { job });
    expect(response.headers.get('content-type')).toBe('text/event-stream; charset=utf-8');
    const text = await response.text();
    return text
      .split('\n\n')
      .filter((event) => event.startsWith('event: job\n'))
      .map((event) => JSON.parse(event.slice('event: job\ndata: '.length)) as JobReply);
  }
}

/** Status, code and sentence of a refusal, which is never a stack. */
export async function refusal(
  response: Response | Promise<Response>,
): Promise<ErrorReply & { status: number }> {
  const answered = await response;
  const { code, text } = (await answered.json()) as ErrorReply;
  expect([typeof code, typeof text]).toEqual(['string', 'string']);
  expect(text).not.toMatch(/\bat .*:\d+:\d+/);
  return { status: answered.status, code, text };
}
