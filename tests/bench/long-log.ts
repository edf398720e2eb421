/**
 * Tick logs of any length on the disk, for benchmarks: a logger that starts anew every morning and records twelve hours a day,
 * edges at a paddle's pace (13 a second, two edges each), and a position every second in two sentences, as GGA and RMC.
 */
import { closeSync, openSync, writeSync } from 'node:fs';

/** The chain's steps; steel leaves the beam on time, grain reaches it as high as it lies. */
const PADDLE_US = 75_500;
const LEAST_DARK_US = 14_000;
const FIX_US = 1_000_000;
const DAY_US = 86_400e6;
const WORKED_US = DAY_US / 2;
/** 2026-09-14 06:00 UTC. */
const FIRST_UTC_MS = Date.UTC(2026, 8, 14, 6);
/** Passes of so many seconds at two metres a second, side by side, on new ground every day. */
const PASS_S = 200;
const STEP_DEG = 1.8e-5;
const SWATH_DEG = 8.2e-5;
const BLOCK = 1 << 20;

/** Writes a log of so many edges to `path`. Edges alternate; every day begins with the beam going dark. */
export function writeLongLog(path: string, edges: number): void {
  const file = openSync(path, 'w');
  try {
    let written = 0;
    for (let day = 0; written < edges; day++) written = writeDay(file, day, written, edges);
  } finally {
    closeSync(file);
  }
}

function writeDay(file: number, day: number, written: number, edges: number): number {
  const start_us = 1_000_000 + day * 7919;
  let tick_us = start_us;
  let nextFix_us = start_us;
  let trailing_us = start_us + PADDLE_US;
  let text = '';
  let edge = written;
  for (let dark = 1; edge < edges && tick_us < start_us + WORKED_US; dark = 1 - dark, edge++) {
    tick_us = dark === 1 ? trailing_us - darkOf(edge) : trailing_us;
    for (; tick_us >= nextFix_us; nextFix_us += FIX_US) {
      text += fixLines(nextFix_us, Math.round((nextFix_us - start_us) / FIX_US), day);
    }
    text += `${tick_us},${dark}\n`;
    if (dark === 0) trailing_us += PADDLE_US + ((edge * 7919) % 400);
    if (text.length > BLOCK) {
      writeSync(file, text);
      text = '';
    }
  }
  writeSync(file, text);
  return edge;
}

/** Heaps grow and shrink over some minutes, and no two are alike. */
function darkOf(edge: number): number {
  return LEAST_DARK_US + Math.round(9000 * (1 + Math.sin(edge / 5000))) + ((edge * 104_729) % 5003);
}

function fixLines(tick_us: number, second: number, day: number): string {
  const utc = new Date(FIRST_UTC_MS + (day * DAY_US) / 1000 + second * 1000).toISOString();
  const clock = `${utc.slice(11, 13)}${utc.slice(14, 16)}${utc.slice(17, 19)}.00`;
  const date = utc.slice(8, 10) + utc.slice(5, 7) + utc.slice(2, 4);
  const pass = Math.floor(second / PASS_S);
  const along = second % PASS_S;
  const east = (pass % 2 === 0 ? along : PASS_S - along) * STEP_DEG;
  const place = `${angle(41.5 + day * 0.03 + pass * SWATH_DEG, 2)},N,${angle(93.7 - east, 3)},W`;
  return [
    `GPGGA,${clock},${place},4,12,0.8,278.161,M,-31.442,M,1.0,0133`,
    `GPRMC,${clock},A,${place},3.888,${pass % 2 === 0 ? '090' : '270'}.000,${date},,,R`,
  ]
    .map((body) => `${tick_us},${sealed(body)}\n`)
    .join('');
}

/** `ddmm.mmmmmmm`, with so many digits for the degrees. */
function angle(size_deg: number, digits: number): string {
  const whole = Math.floor(size_deg);
  return String(whole).padStart(digits, '0') + ((size_deg - whole) * 60).toFixed(7).padStart(10, '0');
}

function sealed(body: string): string {
  let sum = 0;
  for (let i = 0; i < body.length; i++) sum ^= body.charCodeAt(i);
  return `$${body}*${sum.toString(16).toUpperCase().padStart(2, '0')}`;
}
