import { expect, it } from 'vitest';
import { boardLine, progressLine } from '../../electron/command/streams.ts';
import { diskLayer } from '../../electron/host/file-layer.ts';

const WIPED = '\r\u001b[2K';

/** What is written to the screen. */
function screen(isTerminal: boolean) {
  const said: string[] = [];
  const streams = {
    out: () => undefined,
    err: (text: string) => said.push(text),
    isTerminal,
    layer: diskLayer,
  };
  return { streams, said };
}

/** A line over three seasons. */
function board(isTerminal: boolean) {
  const { streams, said } = screen(isTerminal);
  return { line: boardLine(streams, 3), said };
}

it('a line about seasons at work is redrawn in place, never wraps, and moves no cursor by their names', () => {
  const { line, said } = board(true);
  line.show('al\u001bder', 'reading', 0.456);
  line.done('al\u001bder');
  expect(said).toEqual([`${WIPED}0 of 3 done  al\ufffdder: reading 45 %`, WIPED]);
  const long = board(true);
  long.line.show('n'.repeat(200), 'reading', 1);
  expect(long.said[0]).toHaveLength(WIPED.length + 79);
});

it('a line about a field stays one line, whatever the field is called', () => {
  const { streams, said } = screen(true);
  progressLine(streams).show(`surface of Home\n\u001b[2J${'W'.repeat(200)}`, 0.5);
  expect(said).toEqual([`${WIPED}${`surface of Home \ufffd[2J${'W'.repeat(200)}`.slice(0, 79)}`]);
});

it('nothing is shown where nobody watches', () => {
  const { line, said } = board(false);
  line.show('alder', 'reading', 0.5);
  line.done('alder');
  line.wipe();
  expect(said).toEqual([]);
});
