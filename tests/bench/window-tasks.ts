/**
 * How long the window's thread is held at a time while a field of very many points is looked at: the real window in a
 * real Chromium, the sample season's points repeated side by side. `node dist/tests/bench/window-tasks.js [points …]`.
 *
 * For each thing done: the longest task on the thread by the clock, and by the processor time of the thread itself.
 * With software rendering the graphics process takes the same cores, which the clock counts and the latter does not.
 */
import type { Browser, Page } from 'playwright-core';
import { COLUMN_WIRE_TYPE, type ColumnArray, decodeColumns, encodeColumns } from '../../core/column-wire.ts';
import { openSample, openStage, startProgram } from '../window/window-fixture.ts';

/** Longest task that nobody feels, ms [W3C Long Tasks API]. */
const LONGEST_MS = 50;

interface TraceEvent {
  readonly name: string;
  readonly ph: string;
  readonly pid: number;
  readonly tid: number;
  readonly dur?: number;
  readonly tdur?: number;
  readonly args?: { readonly name?: string };
}

interface Longest {
  readonly wall_ms: number;
  readonly own_ms: number;
}

async function measure(points: number): Promise<void> {
  const program = await startProgram();
  const { page } = await program.open();
  process.stdout.write(`${points} points: longest task, ms by the clock / of the thread itself\n`);
  await page.route('**/points/*', async (route) => {
    const response = await route.fetch();
    const body = repeated(await response.body(), points);
    await route.fulfill({ response, body: Buffer.from(body), contentType: COLUMN_WIRE_TYPE });
  });
  for (const [name, act] of Object.entries(ACTIONS)) {
    const { wall_ms, own_ms } = await longestTask(program.browser, page, () => act(page));
    const mark = own_ms > LONGEST_MS ? '  more than 50' : '';
    process.stdout.write(
      `  ${name.padEnd(22)}${wall_ms.toFixed(0).padStart(6)} / ${own_ms.toFixed(0)}${mark}\n`,
    );
  }
  await program.close();
}

const ACTIONS: Readonly<Record<string, (page: Page) => Promise<void>>> = {
  'open and fit': async (page) => {
    await openSample(page);
    await page.locator('.map-legend').waitFor({ timeout: 60_000 });
  },
  'fit again': (page) => page.getByRole('button', { name: 'Whole field (0)' }).click(),
  'another quantity': async (page) => void (await page.getByLabel('Colour by').selectOption('moisture')),
  'another ramp': async (page) => void (await page.getByLabel('Colour ramp').selectOption('cividis')),
  'quantile classes': async (page) =>
    void (await page.getByLabel('Classes', { exact: true }).selectOption('quantile')),
  'natural classes': async (page) =>
    void (await page.getByLabel('Classes', { exact: true }).selectOption('natural')),
  hover: async (page) => {
    for (let i = 0; i < 20; i++) await onMap(page, 0.4 + 0.01 * i, 0.5);
  },
  zoom: async (page) => {
    await onMap(page, 0.5, 0.5);
    for (const way of [-200, -200, -200, 300, 300]) {
      await page.mouse.wheel(0, way);
      await page.waitForTimeout(200);
    }
  },
  lasso: async (page) => {
    await page.getByRole('button', { name: /^Lasso/ }).click();
    await onMap(page, 0.45, 0.3);
    await page.mouse.down();
    for (const [x, y] of [
      [0.6, 0.3],
      [0.65, 0.5],
      [0.6, 0.6],
      [0.45, 0.6],
    ])
      await onMap(page, x, y);
    await page.mouse.up();
  },
  'selection emptied': (page) => page.keyboard.press('Escape'),
  ...Object.fromEntries(
    ['logs', 'fill', 'flow', 'lag', 'ground', 'screened', 'loads', 'yield'].map((stage) => [
      `stage ${stage}`,
      (page: Page) => openStage(page, stage),
    ]),
  ),
  'other units': (page) => page.getByRole('button', { name: 'SI', exact: true }).click(),
  'other theme': (page) => page.getByRole('button', { name: 'Dark window' }).click(),
};

/** Moves the pointer to a share of the map's sides. */
async function onMap(page: Page, x: number, y: number): Promise<void> {
  const box = await page.locator('.map-place').boundingBox();
  if (box) await page.mouse.move(box.x + x * box.width, box.y + y * box.height);
}

/** Does something, waits until all is still, and says how long the longest task on the page's thread was. */
async function longestTask(browser: Browser, page: Page, act: () => Promise<void>): Promise<Longest> {
  await browser.startTracing(page, { categories: ['toplevel', 'devtools.timeline', '__metadata'] });
  await act();
  await page.waitForTimeout(2500);
  const trace = await browser.stopTracing();
  const { traceEvents } = JSON.parse(trace.toString()) as { traceEvents: readonly TraceEvent[] };
  const threads = new Set(
    traceEvents
      .filter(({ name, args }) => name === 'thread_name' && args?.name === 'CrRendererMain')
      .map(({ pid, tid }) => `${pid} ${tid}`),
  );
  let [wall_ms, own_ms] = [0, 0];
  for (const { name, pid, tid, dur = 0, tdur = 0 } of traceEvents) {
    if (!name.endsWith('RunTask') || !threads.has(`${pid} ${tid}`)) continue;
    wall_ms = Math.max(wall_ms, dur / 1000);
    own_ms = Math.max(own_ms, tdur / 1000);
  }
  return { wall_ms, own_ms };
}

/** The block's rows again and again, field beside field in a square, each a season's length later. */
function repeated(bytes: Uint8Array, rows: number): Uint8Array {
  const decoded = decodeColumns(Uint8Array.from(bytes));
  if (!decoded.ok) throw new Error(decoded.error.text);
  const { about, columns, rows: had } = decoded.value;
  const made = new Map<string, ColumnArray>();
  const side = Math.ceil(Math.sqrt(rows / had));
  const times = Array.from(columns.get('t_s') ?? []).filter(Number.isFinite);
  const span_s =
    times.reduce((most, t_s) => Math.max(most, t_s), 0) -
    times.reduce((least, t_s) => Math.min(least, t_s), Infinity);
  for (const [name, column] of columns) {
    const step = STEPS[name];
    const more = new (column.constructor as new (length: number) => ColumnArray)(rows);
    for (let row = 0; row < rows; row++) {
      const time = Math.floor(row / had);
      const steps = step === 'across' ? time % side : step === 'up' ? Math.floor(time / side) : time;
      more[row] = column[row % had] + (step === 'later' ? span_s + 60 : (SIZES[name] ?? 0)) * steps;
    }
    made.set(name, more);
  }
  return encodeColumns({ about, rows, columns: made });
}

/** How a column's numbers go on from one repetition to the next, and by how much. */
const STEPS: Readonly<Record<string, 'across' | 'up' | 'later'>> = {
  t_s: 'later',
  longitude_deg: 'across',
  east_m: 'across',
  latitude_deg: 'up',
  north_m: 'up',
};
const SIZES: Readonly<Record<string, number>> = {
  longitude_deg: 0.0045,
  east_m: 371,
  latitude_deg: 0.0025,
  north_m: 278,
};

const counts = process.argv.slice(2).map(Number);
for (const points of counts.length > 0 ? counts : [200_000, 500_000]) await measure(points);
