import { describe, expect, it } from 'vitest';
import { isSame, Memo, type Step } from '../../core/memo.ts';

const column = Float64Array.of(1, 2);

describe('the same to a pure function', () => {
  it('are equal numbers, words and plain records of them, to the bit', () => {
    expect(isSame({ a: [1, { b: 'x' }], c: undefined }, { a: [1, { b: 'x' }], c: undefined })).toBe(true);
    expect(isSame([Number.NaN], [Number.NaN])).toBe(true);
    expect(isSame([0], [-0])).toBe(false);
    expect(isSame({ a: 1 }, { a: 2 })).toBe(false);
    expect(isSame({ a: 1 }, { b: 1 })).toBe(false);
    expect(isSame([1], [1, undefined])).toBe(false);
    expect(isSame({}, [])).toBe(false);
    expect(isSame(null, {})).toBe(false);
  });

  it('are columns, functions and instances only when they are one object', () => {
    const double = (x: number) => 2 * x;
    expect(isSame({ column, double }, { column, double })).toBe(true);
    expect(isSame(column, column.slice())).toBe(false);
    expect(isSame(double, (x: number) => 2 * x)).toBe(false);
    expect(isSame(new Map(), new Map())).toBe(false);
  });
});

describe('a memo', () => {
  const ran: string[] = [];
  const double: Step<{ readonly x: number }, { readonly twice: number }> = {
    name: 'double',
    run: ({ x }) => ({ twice: 2 * x }),
  };
  const made = (memo: Memo, x: number, part?: string) =>
    memo.made(double, { x }, part, () => ran.push(`${part ?? ''}${x}`));

  it('hands on the very same object as long as the same is given', () => {
    const memo = new Memo();
    ran.length = 0;
    const first = made(memo, 1);
    expect(made(memo, 1)).toBe(first);
    expect(made(memo, 2)).toEqual({ twice: 4 });
    expect(made(memo, 1)).toBe(first);
    made(memo, 3);
    made(memo, 2);
    expect(ran).toEqual(['1', '2', '3', '2']);
  });

  it('keeps the season’s own answer, however much is tried beside it', () => {
    const memo = new Memo();
    ran.length = 0;
    const own = made(memo, 1);
    const tried = (x: number) => memo.trial.made(double, { x }, '', () => ran.push(`try ${x}`));
    for (const x of [2, 3]) tried(x);
    expect(tried(1)).toBe(own);
    expect(tried(3)).toEqual({ twice: 6 });
    expect(made(memo, 1)).toBe(own);
    expect(made(memo, 3)).toEqual({ twice: 6 });
    expect(ran).toEqual(['1', 'try 2', 'try 3']);
  });

  it('forgets what nobody asks for any more', () => {
    const memo = new Memo();
    ran.length = 0;
    made(memo, 1, 'a');
    made(memo, 1, 'b');
    memo.forgetUnasked();
    made(memo, 1, 'a');
    memo.forgetUnasked();
    made(memo, 1, 'a');
    made(memo, 1, 'b');
    expect(ran).toEqual(['a1', 'b1', 'b1']);
  });

  it('tells the parts of a step apart', () => {
    const memo = new Memo();
    ran.length = 0;
    made(memo, 1, 'a');
    made(memo, 1, 'b');
    made(memo, 1, 'a');
    expect(ran).toEqual(['a1', 'b1']);
  });

  it('keeps nothing of a step that fails', () => {
    const memo = new Memo();
    let fails = true;
    const fragile: Step<number, number> = {
      name: 'fragile',
      run: (x) => {
        if (fails) throw new RangeError('not yet');
        return x;
      },
    };
    expect(() => memo.made(fragile, 1)).toThrow('not yet');
    fails = false;
    expect(memo.made(fragile, 1)).toBe(1);
  });
});
