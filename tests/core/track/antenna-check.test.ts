/** Antenna offsets as entered against what simulated passes show; the simulator knows where the antennas are. */
import { describe, expect, it } from 'vitest';
import { runPipeline } from '../../../core/pipeline.ts';
import type { AntennaSheet } from '../../../core/season.ts';
import { decodeSeason } from '../../../core/season-file.ts';
import { estimateOffsets, type OffsetEvidence } from '../../../core/track/antenna-fit.ts';
import { contourNoHeader, plain, type Scene, simulate, twoMachines } from '../../synthetic/index.ts';
import { Random } from '../../synthetic/random.ts';
import { filesOf, sourcesFrom } from '../../synthetic/recovery.ts';

/** Codes of antenna notices, and the values that they name, by change of the entered offsets of all machines. */
function checkOf(scene: Scene) {
  const files = filesOf(simulate(scene));
  const sheet = decodeSeason(files.texts.get('season.json') ?? '');
  if (!sheet.ok) throw new Error(sheet.error.text);
  const sources = sourcesFrom(files, sheet.value);
  const true_m = sheet.value.machines.map(({ antenna }) => antenna);
  const wrong = (change: AntennaSheet) => {
    const machines = sheet.value.machines.map((machine) => ({
      ...machine,
      antenna: {
        ahead_of_cut_m: (machine.antenna?.ahead_of_cut_m ?? 0) + change.ahead_of_cut_m,
        right_of_centre_m: (machine.antenna?.right_of_centre_m ?? 0) + change.right_of_centre_m,
      },
    }));
    const run = { progress: () => {}, shouldStop: () => false, generated_by: 'test' };
    const result = runPipeline({ ...sheet.value, machines }, sources, run);
    return result.notices
      .filter(({ code }) => code.startsWith('antenna_'))
      .map(({ code, text }) => ({ code, to_m: Number(/to about (-?\d+\.\d)/.exec(text)?.[1]) }));
  };
  return { true_m, wrong };
}

const SCENES = [
  ['one machine', plain],
  ['two machines side by side', twoMachines],
  ['contours without a header switch', contourNoHeader],
] as const;

describe.each(SCENES)('%s', (name, make) => {
  const { true_m, wrong } = checkOf(make(2));

  it('says nothing of antennas that stand where they are entered', () => {
    expect(wrong({ ahead_of_cut_m: 0, right_of_centre_m: 0 })).toEqual([]);
  });

  it.each([0.6, -0.6])(
    'names the true offset when %d m is entered too much sideways',
    (right_of_centre_m) => {
      const told = wrong({ ahead_of_cut_m: 0, right_of_centre_m });
      expect(told.map(({ code }) => code)).toEqual(true_m.map(() => 'antenna_sideways'));
      told.forEach(({ to_m }, m) => {
        expect(Math.abs(to_m - (true_m[m]?.right_of_centre_m ?? 0))).toBeLessThan(0.101);
      });
    },
  );

  it.each([2, -2])('names the true offset when %d m is entered too much ahead', (ahead_of_cut_m) => {
    const told = wrong({ ahead_of_cut_m, right_of_centre_m: 0 });
    // without a header switch nothing tells where a pass begins
    const expected = name.includes('without') ? [] : true_m.map(() => 'antenna_ahead');
    expect(told.map(({ code }) => code)).toEqual(expected);
    told.forEach(({ to_m }, m) => {
      expect(Math.abs(to_m - (true_m[m]?.ahead_of_cut_m ?? 0))).toBeLessThan(0.5);
    });
  });
});

describe('offsets from differences', () => {
  const random = new Random(3, 'antenna');
  /** Pairs of machine 0 with itself and with machine 1 on either side, with noise. */
  const evidence = Array.from({ length: 60 }, (_, k): OffsetEvidence => {
    const side = k % 2 === 0 ? 1 : -1;
    const parts = [
      { machine: 0, factor: -side },
      { machine: k % 3 === 0 ? 1 : 0, factor: -side },
    ];
    const y_m = -0.3 - side * (0.5 + (k % 3 === 0 ? -0.2 : 0.5)) + 0.1 * random.normal();
    return { y_m, parts };
  });

  it('come out with their errors, strays or not', () => {
    const strays = evidence.map((one, k) => (k % 15 === 4 ? { ...one, y_m: one.y_m - 4 } : one));
    for (const given of [evidence, strays]) {
      const [own, other, absent] = estimateOffsets(given, 3, 'free');
      expect(Math.abs(own.error_m - 0.5)).toBeLessThan(4 * own.se_m);
      expect(Math.abs(other.error_m + 0.2)).toBeLessThan(4 * other.se_m);
      expect(own.se_m).toBeLessThan(0.03);
      expect(absent).toMatchObject({ error_m: 0, count: 0 });
      expect(absent.se_m).toBeGreaterThan(10);
    }
  });

  it('that only their sum is known of are not told apart', () => {
    const sums = Array.from({ length: 20 }, (_, k): OffsetEvidence => {
      const factor = k % 2 === 0 ? 1 : -1;
      const parts = [
        { machine: 0, factor },
        { machine: 1, factor },
      ];
      return { y_m: 1.2 * factor, parts };
    });
    for (const { error_m, se_m } of estimateOffsets(sums, 2, 'free'))
      expect(Math.abs(error_m)).toBeLessThan(5 * se_m);
  });
});
