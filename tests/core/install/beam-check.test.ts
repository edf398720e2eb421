import { describe, expect, it } from 'vitest';
import { checkBeam } from '../../../core/install/beam-check.ts';
import { CAUSE_CODES, likelyCauses } from '../../../core/install/causes.ts';
import { readFirstLog } from '../../../core/install/first-log.ts';
import { checkCase, scoreFault, scoreSound } from '../../synthetic/beam-check-score.ts';
import { SMALL_LOG, smallScene, textOf } from '../../synthetic/crude-reading.ts';
import { FAULTS } from '../../synthetic/session-faults.ts';
import { withPlace } from '../../synthetic/session-spoilers.ts';
import { simulate } from '../../synthetic/simulate.ts';
import { type FirstLogCase, made, soundFirstLog } from '../../synthetic/sound-session.ts';

/** The first lines of a log, by their share. */
function part(
  { bytes, sheet, passed_by_hand }: FirstLogCase,
  keep: (line: string, share: number) => boolean,
) {
  const lines = new TextDecoder().decode(bytes).trim().split('\n');
  const kept = lines.filter((line, i) => keep(line, i / lines.length));
  return checkCase({ bytes: new TextEncoder().encode(`${kept.join('\n')}\n`), sheet, passed_by_hand });
}

describe('the beam check', () => {
  // seeds other than those of the full table (`npm run truth`)
  it.each(FAULTS.map((fault) => [fault.name, fault] as const))('tells: %s', (_, fault) => {
    const { right_verdict, named, misses } = scoreFault(fault, [41]);
    expect([right_verdict, named, misses]).toEqual([1, 1, []]);
  });

  it('calls sound logs sound', () => {
    expect(scoreSound(Array.from({ length: 8 }, (_, k) => 300 + k))).toEqual({ good: 8, misses: [] });
  });

  it('names the odd paddle, and by how much', () => {
    const bent = FAULTS.find(({ name }) => name === 'bent paddle')?.make(7);
    if (bent === undefined) throw new Error('no such fault');
    const finding = checkCase(bent).findings.find(({ code }) => code === 'signature');
    expect(finding?.figure).toMatch(
      /^of \d+, counted from the first in the run: no\. \d+ longer by \d\.\d mm$/,
    );
  });

  it('says the same of the same log', () => {
    expect(checkCase(soundFirstLog(9))).toEqual(checkCase(soundFirstLog(9)));
  });
});

describe('turning by hand', () => {
  it('counts paddles at 0.2 to 1 a second, uneven, back and forth', () => {
    for (let seed = 60; seed < 68; seed++) {
      const first = soundFirstLog(seed);
      const check = checkCase(first);
      expect(Math.abs(check.extent.by_hand_paddles - first.passed_by_hand)).toBeLessThanOrEqual(2);
    }
  });

  it('tells the direction where odd paddles show it, and never the wrong one', () => {
    const turned = (seed: number, way: 1 | -1) =>
      checkCase(
        made(seed, 'turned', (parts) => {
          const { count } = parts.machine;
          parts.machine = [0, 0.13, 0.37].reduce(
            (machine, share) => withPlace(machine, Math.floor(share * count), 18),
            parts.machine,
          );
          parts.plan = {
            ...parts.plan,
            by_hand_paddles: 1.4 * count,
            by_hand_spread: 0.12,
            by_hand_legs: [{ way, share: 1 }],
          };
        }),
      ).findings.find(({ code }) => code === 'direction')?.figure;
    const seeds = [0, 1, 2, 3, 4, 5];
    const forward = seeds.map((seed) => turned(seed, 1)).filter((figure) => figure !== undefined);
    const backward = seeds.map((seed) => turned(seed, -1)).filter((figure) => figure !== undefined);
    expect(forward.length).toBeGreaterThan(2);
    expect(backward.length).toBeGreaterThan(2);
    expect(new Set(forward)).toEqual(new Set(['turned by hand the way it runs']));
    expect(new Set(backward)).toEqual(new Set(['turned by hand against the way it runs']));
  });

  it('says that the direction cannot be told where paddles look alike', () => {
    const { not_judged } = checkCase(soundFirstLog(5));
    expect(not_judged.find(({ code }) => code === 'direction')?.why).toMatch(
      /same from both sides|less than one round/,
    );
  });
});

describe('partial logs', () => {
  const first = soundFirstLog(5);

  it('without power: what was not judged is named', () => {
    const check = part(first, (line, share) => share < 0.05 || line.includes('$'));
    const open = check.not_judged.map(({ code }) => code);
    expect(open).toEqual(expect.arrayContaining(['chain_speed', 'empty_level', 'signature']));
  });

  it('without hand: counting is not judged, the rest is well', () => {
    const lines = new TextDecoder().decode(first.bytes).trim().split('\n');
    const middle = Number(lines[Math.floor(0.6 * lines.length)].split(',')[0]);
    const check = part(first, (line) => line.includes('$') || Number(line.split(',')[0]) > middle);
    expect(check.not_judged.map(({ code }) => code)).toContain('counted');
    expect(check.findings.find(({ code }) => code === 'chain_speed')?.verdict).toBe('good');
  });

  it('without a receiver: that is what is to be mended', () => {
    const check = part(first, (line) => !line.includes('$'));
    expect(check.verdict).toBe('mend');
    expect(check.findings[0].code).toBe('gps_silent');
    expect(check.not_judged.map(({ code }) => code)).toEqual(expect.arrayContaining(['tick_unit', 'clock']));
  });

  it('with grain on the paddles: what needs them empty is not judged', () => {
    const season = simulate(smallScene().machine({}));
    const log = readFirstLog(SMALL_LOG, new TextEncoder().encode(textOf(season, SMALL_LOG)));
    if (!log.ok) throw new Error(log.error.text);
    const check = checkBeam(log.value, first.sheet);
    const why = check.not_judged.find(({ code }) => code === 'empty_level')?.why;
    expect(why).toMatch(/^grain was on the paddles/);
  });

  it('of a single edge', () => {
    const log = readFirstLog('x.log', new TextEncoder().encode('1000,1\n'));
    if (!log.ok) throw new Error(log.error.text);
    const check = checkBeam(log.value, first.sheet);
    expect(check.findings.map(({ code }) => code)).toEqual(
      expect.arrayContaining(['always_dark', 'gps_silent']),
    );
  });
});

describe('causes', () => {
  it('are weighed over the findings, the gravest first', () => {
    const base = { code: 'x', title: 'x', figure: '', evidence: undefined, todo: '' };
    expect(
      likelyCauses([
        { ...base, verdict: 'look', causes: ['slack_chain', 'loose_bracket'] },
        { ...base, verdict: 'look', causes: ['loose_bracket'] },
        { ...base, verdict: 'good', causes: ['chaff'] },
        { ...base, verdict: 'mend', causes: ['tick_unit'] },
      ]),
    ).toEqual(['tick_unit', 'loose_bracket', 'slack_chain']);
    expect(new Set(CAUSE_CODES).size).toBe(CAUSE_CODES.length);
  });
});
