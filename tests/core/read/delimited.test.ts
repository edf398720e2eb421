import { describe, expect, it } from 'vitest';
import { type DelimitedOptions, numberFromCell, parseDelimited } from '../../../core/read/delimited.ts';

function table(text: string, options?: DelimitedOptions) {
  const result = parseDelimited(text, 'a.csv', options);
  if (!result.ok) throw new Error(result.error.text);
  const rows = Array.from(result.value.rows);
  return { ...result.value, rows: rows.map(({ cells }) => cells), lines: rows.map(({ line }) => line) };
}

describe('parseDelimited', () => {
  it.each([',', ';', '\t', '|'] as const)('finds the delimiter %j', (sign) => {
    const { header, rows, delimiter } = table(
      `${['a', 'b', 'c'].join(sign)}\n${['1', '2', '3'].join(sign)}\n`,
    );
    expect(delimiter).toBe(sign);
    expect(header).toEqual(['a', 'b', 'c']);
    expect(rows).toEqual([['1', '2', '3']]);
  });

  it('keeps the line of every row past blank lines, comments, CRLF and quoted line breaks', () => {
    const text = '\uFEFF# made by hand\r\na,b\r\n1,2\r\n\r\n,,\r\n# pause\r\n"x\r\ny",4\r\n5,6\r\n';
    const { headerLine, rows, lines, lineCount } = table(text);
    expect(headerLine).toBe(2);
    expect(rows).toEqual([
      ['1', '2'],
      ['x\r\ny', '4'],
      ['5', '6'],
    ]);
    expect(lines).toEqual([3, 7, 9]);
    expect(lineCount).toBe(9);
  });

  it('reads quoted cells with delimiters and doubled quotes', () => {
    expect(table('a,b\n"1,5","say ""up"""\n').rows).toEqual([['1,5', 'say "up"']]);
  });

  it('does not let one open quote swallow the file', () => {
    const { rows } = table('swath,note\n"360,ok\n360,"fine"\n340,30" head\n350,ok\n');
    expect(rows).toEqual([
      ['"360', 'ok'],
      ['360', 'fine'],
      ['340', '30" head'],
      ['350', 'ok'],
    ]);
  });

  it('finds a decimal comma where semicolons part the columns', () => {
    expect(table('a;b\n1,5;2,25\n').decimal).toBe(',');
    expect(table('a;b\n1.5;2\n').decimal).toBe('.');
    expect(table('a;b\n1;2\n').decimal).toBe('.');
    expect(table('a,b\n"1,5",2\n').decimal).toBe('.');
    expect(table('a;b\n1.5;2\n', { decimal: ',' }).decimal).toBe(',');
  });

  it('numbers the columns of a file without header', () => {
    const { header, headerLine, rows } = table('1,2\n3,4\n', { header: 'none' });
    expect(header).toEqual(['column 1', 'column 2']);
    expect(headerLine).toBe(0);
    expect(rows).toHaveLength(2);
  });

  it('takes any number of spaces where a space parts the columns', () => {
    expect(table('a  b c\n 1   2 3\n', { delimiter: ' ' }).rows).toEqual([['1', '2', '3']]);
  });

  it('reads a table of many blocks as one, again and again', () => {
    const content = `a,b\n${Array.from({ length: 60_000 }, (_, i) => `${i},${i * 2}`).join('\n')}\n`;
    const result = parseDelimited(content, 'a.csv');
    if (!result.ok) throw new Error(result.error.text);
    for (const time of ['first', 'second']) {
      let expected = 0;
      for (const { cells, line } of result.value.rows) {
        if (cells[0] !== String(expected) || cells[1] !== String(expected * 2) || line !== expected + 2) {
          throw new Error(`wrong at row ${expected}, ${time} time`);
        }
        expected++;
      }
      expect(expected).toBe(60_000);
    }
    expect(result.value.lineCount).toBe(60_001);
  });

  it('reads quoted cells with line ends over the seams of blocks', () => {
    const count = 9000;
    const lines = Array.from(
      { length: count },
      (_, i) => `${i},"note ${i}\nof two lines,${'x'.repeat(i % 60)}"`,
    );
    const { rows, lines: numbers } = table(`a,b\n${lines.join('\n')}\n`);
    expect(rows).toHaveLength(count);
    const wrong = rows.findIndex(
      ([a, b], i) => a !== String(i) || b !== `note ${i}\nof two lines,${'x'.repeat(i % 60)}`,
    );
    expect(wrong).toBe(-1);
    expect(numbers.findIndex((line, i) => line !== 2 + 2 * i)).toBe(-1);
  });

  it('an open quote spoils its own block, not what comes long after', () => {
    const lines = Array.from({ length: 60_000 }, (_, i) =>
      i === 100 ? `${i},"open` : `${i},"say ""${i}"""`,
    );
    const { rows } = table(`a,b\n${lines.join('\n')}\n`);
    expect(rows).toHaveLength(60_000);
    expect(rows[100]).toEqual(['100', '"open']);
    expect(rows[59_999]).toEqual(['59999', 'say "59999"']);
  });

  it('reads old line ends of CR alone', () => {
    expect(table('a,b\r1,2\r3,4').rows).toEqual([
      ['1', '2'],
      ['3', '4'],
    ]);
  });

  it('leaves out a byte-order mark that came through byte by byte', () => {
    expect(table('\u00ef\u00bb\u00bfa,b\n1,2\n').header).toEqual(['a', 'b']);
  });

  it.each(['', '\n\n', '# only a comment\n', '\uFEFF'])('refuses %j as empty', (text) => {
    const result = parseDelimited(text, 'a.csv');
    expect(result.ok ? 'read' : result.error.code).toBe('empty_file');
  });
});

describe('numberFromCell', () => {
  it.each([
    ['1.5', '.', 1.5],
    ['-0.25', '.', -0.25],
    ['+3', '.', 3],
    ['.5', '.', 0.5],
    ['5.', '.', 5],
    ['1.5e-3', '.', 0.0015],
    ['1,5', ',', 1.5],
    ['', '.', Number.NaN],
    ['1,5', '.', Number.NaN],
    ['0x10', '.', Number.NaN],
    ['Infinity', '.', Number.NaN],
    ['1 5', '.', Number.NaN],
    ['n/a', '.', Number.NaN],
    ['1e15', '.', 1e15],
    ['1.1e15', '.', Number.NaN],
    ['-1e400', '.', Number.NaN],
  ] as const)('%j with decimal %s is %d', (cell, decimal, number) => {
    expect(numberFromCell(cell, decimal)).toBe(number);
  });
});
