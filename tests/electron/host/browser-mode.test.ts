import { mkdirSync, mkdtempSync, realpathSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { request as httpRequest, type IncomingMessage, type RequestOptions } from 'node:http';
import { connect, type Socket } from 'node:net';
import { networkInterfaces, tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { SeasonReply } from '../../../core/host-contract.ts';
import { type BrowserMode, startBrowserMode } from '../../../electron/host/browser-mode.ts';
import { createHost, type Host } from '../../../electron/host/host.ts';
import { WorkerPool } from '../../../electron/host/worker-pool.ts';

const pool = new WorkerPool();
let scratch: string;
let host: Host;
let server: BrowserMode;
let now_ms: number;

beforeEach(async () => {
  scratch = realpathSync(mkdtempSync(join(tmpdir(), 'sheaflight-browser-')));
  mkdirSync(join(scratch, 'pages/assets'), { recursive: true });
  writeFileSync(join(scratch, 'pages/index.html'), '<!doctype html><title>Sheaflight</title>');
  writeFileSync(join(scratch, 'pages/assets/main.js'), 'export {};');
  writeFileSync(join(scratch, 'secret.json'), '{}');
  symlinkSync(join(scratch, 'secret.json'), join(scratch, 'pages/link.json'));
  host = createHost({ environment: { HOME: scratch }, home: join(scratch, 'home'), pool });
  now_ms = 0;
  server = await startBrowserMode({
    handler: host.handler,
    pages: join(scratch, 'pages'),
    now: () => now_ms,
  });
});

afterEach(async () => {
  await server.close();
  await host.services.sessions.closeAll();
  rmSync(scratch, { recursive: true, force: true });
});

afterAll(() => pool.close());

interface Answer {
  readonly status: number;
  readonly headers: IncomingMessage['headers'];
  readonly text: string;
}

interface Asked extends RequestOptions {
  readonly body?: string | Uint8Array;
}

/** A request as anyone can make it: no header but those given, the path as it is written. */
function raw(path: string, { body, ...options }: Asked = {}): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const asked = httpRequest({ host: '127.0.0.1', port: server.port, path, ...options }, (response) => {
      const pieces: Buffer[] = [];
      response.on('data', (piece: Buffer) => pieces.push(piece));
      response.on('error', reject);
      response.on('end', () =>
        resolve({
          status: response.statusCode ?? 0,
          headers: response.headers,
          text: Buffer.concat(pieces).toString('utf8'),
        }),
      );
    });
    asked.on('error', reject);
    asked.end(body);
  });
}

async function signIn(): Promise<string> {
  const answer = await raw(server.url.slice(server.url.indexOf('/?')));
  const cookie = answer.headers['set-cookie']?.[0].split(';')[0];
  if (cookie === undefined) throw new Error(`not signed in: ${answer.status}`);
  return cookie;
}

const own = () => `http://127.0.0.1:${server.port}`;
const json = (cookie: string, body: unknown, method = 'POST'): Asked => ({
  method,
  headers: { cookie, origin: own(), 'content-type': 'application/json' },
  body: JSON.stringify(body),
});

describe('signing in', () => {
  it('exchanges the token of the opened address for a cookie, once', async () => {
    const opened = await fetch(server.url, { redirect: 'manual' });
    expect(opened.status).toBe(303);
    expect(opened.headers.get('location')).toBe('/');
    expect(opened.headers.get('set-cookie')).toMatch(
      new RegExp(`^sheaflight-${server.port}=[\\w-]{43}; Path=/; HttpOnly; SameSite=Strict$`),
    );
    const cookie = opened.headers.get('set-cookie')?.split(';')[0] ?? '';
    const page = await fetch(`${own()}/`, { headers: { cookie } });
    expect(await page.text()).toContain('<title>Sheaflight</title>');

    const second = await fetch(server.url, { redirect: 'manual' });
    expect(second.status).toBe(401);
    expect(second.headers.get('set-cookie')).toBeNull();
    expect(await second.text()).toBe(
      'This address is good for one browser, once. Start the program again and open the new address that it prints.\n',
    );
    // The same browser may reload the address.
    expect((await fetch(server.url, { redirect: 'manual', headers: { cookie } })).status).toBe(303);
  });

  it('does not go on for ever', async () => {
    now_ms = 11 * 60_000;
    expect((await raw(server.url.slice(server.url.indexOf('/?')))).status).toBe(401);
  });

  it('is needed for everything', async () => {
    for (const path of ['/', '/assets/main.js', '/api/home', '/api/seasons/x/file?path=season.json']) {
      expect((await raw(path)).status).toBe(401);
      const wrong = { headers: { cookie: `sheaflight-${server.port}=${'x'.repeat(43)}` } };
      expect((await raw(path, wrong)).status).toBe(401);
    }
    expect((await raw('/?token=')).status).toBe(401);
    expect((await raw(`/?token=${'x'.repeat(43)}`)).status).toBe(401);
    expect(JSON.parse((await raw('/api/home')).text).code).toBe('not_signed_in');
  });
});

describe('who may ask', () => {
  it('listens on the loopback address only', async () => {
    const others = Object.values(networkInterfaces())
      .flat()
      .flatMap((face) =>
        face !== undefined && face.family === 'IPv4' && !face.internal ? [face.address] : [],
      );
    for (const address of ['127.0.0.2', ...others]) {
      const outcome = await new Promise<string>((resolve) => {
        const socket = connect({ host: address, port: server.port });
        socket.once('connect', () => resolve('connected'));
        socket.once('error', () => resolve('refused'));
        socket.setTimeout(2000, () => resolve('refused'));
      });
      expect([address, outcome]).toEqual([address, 'refused']);
    }
  });

  it('refuses other names for this machine (DNS rebinding)', async () => {
    const cookie = await signIn();
    for (const name of [
      'evil.example',
      `evil.example:${server.port}`,
      'localhost',
      '127.0.0.1',
      '127.0.0.1:1',
    ])
      expect(await raw('/api/home', { headers: { host: name, cookie } })).toMatchObject({ status: 403 });
    expect((await raw('/api/home', { headers: { cookie } })).status).toBe(200);
  });

  it('refuses pages of other sites (CSRF), even with the cookie', async () => {
    const cookie = await signIn();
    const body = JSON.stringify({ name: 'Planted', units: 'us' });
    const type = { 'content-type': 'application/json' };
    for (const foreign of [
      { origin: 'http://evil.example' },
      { origin: 'null' },
      { origin: `http://127.0.0.1:${server.port + 1}` },
      { origin: own(), 'sec-fetch-site': 'cross-site' },
      { 'sec-fetch-site': 'same-site' },
      {},
    ]) {
      const headers = { cookie, ...type, ...foreign };
      const answer = await raw('/api/seasons', { method: 'POST', headers, body });
      expect([foreign, answer.status]).toEqual([foreign, 403]);
    }
    expect((await raw('/api/home', { headers: { cookie, origin: 'http://evil.example' } })).status).toBe(403);
    expect((await raw('/api/home', { headers: { cookie, 'sec-fetch-site': 'cross-site' } })).status).toBe(
      403,
    );
    const home = await raw('/api/home', { headers: { cookie, 'sec-fetch-site': 'same-origin' } });
    expect(JSON.parse(home.text).seasons).toEqual([]);
  });

  it('refuses forms, which need no leave of the browser', async () => {
    const cookie = await signIn();
    for (const kind of ['text/plain', 'application/x-www-form-urlencoded', 'multipart/form-data']) {
      const headers = { cookie, origin: own(), 'content-type': kind };
      const answer = await raw('/api/seasons', {
        method: 'POST',
        headers,
        body: '{"name":"x","units":"us"}',
      });
      expect(answer.status).toBe(415);
    }
  });
});

describe('what is answered', () => {
  it('carries the whole of the host', async () => {
    const cookie = await signIn();
    const made = await raw('/api/seasons', json(cookie, { name: 'Kestrel', units: 'us' }));
    expect(made.status).toBe(200);
    const season = JSON.parse(made.text) as SeasonReply;
    const edit = { revision: season.revision, edit: { kind: 'rename_season', name: 'Höfe „Nord“' } };
    const edited = await raw(`/api/seasons/${season.season}/edits`, json(cookie, edit));
    expect(JSON.parse(edited.text).document.name).toBe('Höfe „Nord“');
    const bytes = new Uint8Array(3 << 20).map((_, i) => i % 251);
    const upload = await raw(`/api/seasons/${season.season}/uploads/a.log`, {
      method: 'POST',
      headers: { cookie, origin: own(), 'content-type': 'application/octet-stream' },
      body: bytes,
    });
    expect(JSON.parse(upload.text)).toMatchObject({ source_name: 'a.log', bytes: bytes.length });
    const packed = await raw(`/api/seasons/${season.season}/pack`, { headers: { cookie } });
    expect(packed.text.startsWith('PK')).toBe(true);
    const removed = await raw(`/api/seasons/${season.season}`, {
      method: 'DELETE',
      headers: { cookie, origin: own() },
    });
    expect(removed.status).toBe(200);
  });

  it('sends events as they come, until the work has ended', async () => {
    const cookie = await signIn();
    const season = JSON.parse((await raw('/api/seasons', json(cookie, { name: 'K', units: 'us' }))).text);
    const job = JSON.parse((await raw(`/api/seasons/${season.season}/builds`, json(cookie, undefined))).text);
    const events = await raw(`/api/jobs/${job.job}/events`, { headers: { cookie } });
    expect(events.headers['content-type']).toBe('text/event-stream; charset=utf-8');
    expect(events.text).toMatch(/^event: job\ndata: \{.*"state":"(queued|running|failed)"/);
    expect(events.text).toContain('"state":"failed"');
  });

  it('locks every page down, and lets nothing of the host be kept', async () => {
    const cookie = await signIn();
    for (const path of ['/', '/assets/main.js', '/api/home', '/gone.html']) {
      const { headers } = await raw(path, { headers: { cookie } });
      const policy = headers['content-security-policy'] ?? '';
      expect(policy).toMatch(/^default-src 'none'; script-src 'self'; style-src 'self'/);
      expect(policy).not.toMatch(/unsafe|\*|https?:/);
      expect(headers['x-content-type-options']).toBe('nosniff');
      expect(headers['referrer-policy']).toBe('no-referrer');
      expect(headers['cross-origin-resource-policy']).toBe('same-origin');
      expect(headers['access-control-allow-origin']).toBeUndefined();
    }
    expect((await raw('/api/home', { headers: { cookie } })).headers['cache-control']).toBe('no-store');
  });

  it('is the built window and nothing beside it', async () => {
    const cookie = await signIn();
    const get = (path: string) => raw(path, { headers: { cookie } });
    expect((await get('/assets/main.js')).headers['content-type']).toBe('text/javascript; charset=utf-8');
    for (const path of [
      '/../secret.json',
      '/..%2fsecret.json',
      '/%2e%2e/secret.json',
      '/assets/..%2f..%2fsecret.json',
      '/..%5csecret.json',
      '/link.json',
      '/%00.html',
      '/%E0%A4%A',
      '//127.0.0.1/index.html',
      'http://evil.example/index.html',
    ])
      expect([path, [400, 403, 404].includes((await get(path)).status)]).toEqual([path, true]);
    expect((await raw('/', { method: 'POST', headers: { cookie, origin: own() } })).status).toBe(405);
    expect((await raw('/', { method: 'TRACE', headers: { cookie, origin: own() } })).status).toBe(405);
  });

  it('says so while the window is not built', async () => {
    const bare = await startBrowserMode({ handler: host.handler });
    const opened = await fetch(bare.url, { redirect: 'manual' });
    const cookie = opened.headers.get('set-cookie')?.split(';')[0] ?? '';
    const page = await fetch(`http://127.0.0.1:${bare.port}/`, { headers: { cookie } });
    expect([page.status, await page.text()]).toEqual([404, 'The window is not built yet.\n']);
    await bare.close();
  });
});

describe('bodies that are too large', () => {
  it('are refused by what they say, before they are read', async () => {
    const cookie = await signIn();
    const headers = { cookie, origin: own(), 'content-type': 'application/json', 'content-length': 5 << 20 };
    const answer = await new Promise<number>((resolve, reject) => {
      const asked = httpRequest(
        { host: '127.0.0.1', port: server.port, path: '/api/home', method: 'PUT', headers },
        (response) => {
          response.resume();
          resolve(response.statusCode ?? 0);
        },
      );
      asked.on('error', reject);
      asked.flushHeaders();
    });
    expect(answer).toBe(413);
  });

  it('are refused by what they are, when they do not say', async () => {
    const cookie = await signIn();
    const socket = await new Promise<Socket>((resolve) => {
      const made = connect({ host: '127.0.0.1', port: server.port }, () => resolve(made));
    });
    const head = [
      'PUT /api/home HTTP/1.1',
      `Host: 127.0.0.1:${server.port}`,
      `Origin: ${own()}`,
      `Cookie: ${cookie}`,
      'Content-Type: application/json',
      'Transfer-Encoding: chunked',
      '',
      '',
    ];
    socket.write(head.join('\r\n'));
    const piece = `${(1 << 20).toString(16)}\r\n${'x'.repeat(1 << 20)}\r\n`;
    for (let i = 0; i < 6; i++) socket.write(piece);
    const answer = await new Promise<string>((resolve) => {
      socket.once('data', (bytes) => resolve(bytes.toString('utf8')));
      socket.on('error', () => undefined);
    });
    expect(answer).toMatch(/^HTTP\/1\.1 413 /);
    socket.destroy();
  });

  it('of headers too', async () => {
    const answer = await raw('/', { headers: { cookie: 'x'.repeat(20 << 10) } });
    expect(answer.status).toBe(431);
  });
});
