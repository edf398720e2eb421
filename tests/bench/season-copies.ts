/** A long season for benchmarks: one simulated field copied day after day, each copy on its own ground. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Season } from '../../core/season.ts';
import { plain, simulate } from '../synthetic/index.ts';
import type { SeasonFiles } from '../synthetic/recovery.ts';

const DAY_US = 86_400_000_000;
/** Copies lie one above the other, degrees of latitude apart. */
const STEP_DEG = 0.01;

export interface LongSeason {
  readonly season: Season;
  readonly files: SeasonFiles;
  /** Lines of all logs. */
  readonly ticks: number;
}

/** As many copies as give at least `ticks` lines. */
export function longSeason(ticks: number): LongSeason {
  const field = simulatedField();
  const copies = Math.ceil(ticks / field.lines.length);
  const logs = new Map<string, Uint8Array>();
  const texts = new Map<string, string>();
  for (let copy = 0; copy < copies; copy++) {
    logs.set(logPath(copy), new TextEncoder().encode(logOf(field, copy)));
    texts.set(boundaryPath(copy), movedBoundary(field.boundary, copy));
  }
  const hashes = new Map([...logs.keys(), ...texts.keys()].map((name) => [name, '0'.repeat(64)]));
  return {
    season: sheetOf(field, copies),
    files: { logs, texts, hashes },
    ticks: copies * field.lines.length,
  };
}

/** The same as a season folder on the disk; returns the lines of all logs. */
export function writeLongSeason(folder: string, ticks: number): number {
  const field = simulatedField();
  const copies = Math.ceil(ticks / field.lines.length);
  mkdirSync(join(folder, 'logs'), { recursive: true });
  mkdirSync(join(folder, 'boundaries'));
  writeFileSync(join(folder, 'season.json'), JSON.stringify(sheetOf(field, copies)));
  for (let copy = 0; copy < copies; copy++) {
    writeFileSync(join(folder, logPath(copy)), logOf(field, copy));
    writeFileSync(join(folder, boundaryPath(copy)), movedBoundary(field.boundary, copy));
  }
  return copies * field.lines.length;
}

/** What is copied. */
interface SimulatedField {
  readonly sheet: Season;
  readonly lines: readonly string[];
  readonly boundary: string;
}

function simulatedField(): SimulatedField {
  const simulated = simulate(plain(1));
  const text = new TextDecoder();
  const sheet: Season = JSON.parse(text.decode(simulated.files.get('season.json')));
  const lines = text.decode(simulated.files.get(sheet.logs[0].files[0])).trimEnd().split('\n');
  return { sheet, lines, boundary: text.decode(simulated.files.get(sheet.fields[0].boundary ?? '')) };
}

function sheetOf({ sheet }: SimulatedField, copies: number): Season {
  const numbers = Array.from({ length: copies }, (_, copy) => copy);
  return {
    ...sheet,
    fields: numbers.map((copy) => ({
      ...sheet.fields[0],
      name: `Field ${copy}`,
      boundary: boundaryPath(copy),
    })),
    logs: [{ machine: sheet.machines[0].id, files: numbers.map(logPath) }],
    tickets: [],
  };
}

function logPath(copy: number): string {
  return `logs/${copy}.log`;
}

function boundaryPath(copy: number): string {
  return `boundaries/${copy}.geojson`;
}

function logOf({ lines }: SimulatedField, copy: number): string {
  return `${lines.map((line) => moved(line, copy)).join('\n')}\n`;
}

/** The line `copy` days later and `copy` steps further north. */
function moved(line: string, copy: number): string {
  const comma = line.indexOf(',');
  const tick = String(Number(line.slice(0, comma)) + copy * DAY_US);
  const payload = line.slice(comma + 1);
  return `${tick},${payload.startsWith('$') ? movedSentence(payload, copy) : payload}`;
}

function movedSentence(sentence: string, copy: number): string {
  const cells = sentence.slice(1, sentence.indexOf('*')).split(',');
  const isRmc = cells[0].endsWith('RMC');
  const at = isRmc ? 3 : 2;
  if (isRmc) cells[9] = laterDate(cells[9], copy);
  if (cells[at] !== '') {
    const minutes = Number(cells[at].slice(0, 2)) * 60 + Number(cells[at].slice(2)) + copy * STEP_DEG * 60;
    const degrees = Math.floor(minutes / 60);
    cells[at] = String(degrees).padStart(2, '0') + (minutes - 60 * degrees).toFixed(7).padStart(10, '0');
  }
  const body = cells.join(',');
  let sum = 0;
  for (let i = 0; i < body.length; i++) sum ^= body.charCodeAt(i);
  return `$${body}*${sum.toString(16).toUpperCase().padStart(2, '0')}`;
}

/** `ddmmyy` so many days later. */
function laterDate(ddmmyy: string, days: number): string {
  const [day, month, year] = [0, 2, 4].map((from) => Number(ddmmyy.slice(from, from + 2)));
  const later = new Date(Date.UTC(2000 + year, month - 1, day + days)).toISOString();
  return later.slice(8, 10) + later.slice(5, 7) + later.slice(2, 4);
}

function movedBoundary(text: string, copy: number): string {
  return text.replaceAll(
    /\[(-?\d+\.\d+),\s*(-?\d+\.\d+)\]/g,
    (_, lon, lat) => `[${lon},${Number(lat) + copy * STEP_DEG}]`,
  );
}
