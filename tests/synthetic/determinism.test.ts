import { describe, expect, it } from 'vitest';
import { textOf } from './crude-reading.ts';
import { everythingWrong, plain, simulate } from './index.ts';
import { Random } from './random.ts';
import { total } from './total.ts';

describe('determinism', () => {
  it('gives the same bytes for the same seed, others for another', () => {
    const first = simulate(everythingWrong(5));
    const again = simulate(everythingWrong(5));
    const other = simulate(everythingWrong(6));
    expect([...again.files.keys()]).toEqual([...first.files.keys()]);
    for (const [path, bytes] of first.files) expect(Buffer.compare(again.files.get(path)!, bytes)).toBe(0);
    expect(textOf(other, 'tickets/tickets.csv')).not.toBe(textOf(first, 'tickets/tickets.csv'));
  });

  it('keeps scenes immutable: a change makes another scene', () => {
    const before = plain(1);
    const after = before.damage({ chatter_per_s: 3 }).everyMachine({ drive: { speed_m_s: 1 } });
    expect(before.spec.damage.chatter_per_s).toBe(0);
    expect(before.spec.machines[0].drive.speed_m_s).toBe(2.1);
    expect(after.spec.machines[0].drive.speed_m_s).toBe(1);
    expect(after.spec.machines[0].drive.turn_radius_m).toBe(before.spec.machines[0].drive.turn_radius_m);
    expect(Object.isFrozen(after.spec.machines[0].drive)).toBe(true);
  });

  it('draws uniform numbers with mean 1/2 and variance 1/12, normal ones with 0 and 1', () => {
    const random = new Random(1, 'check');
    const uniform = Array.from({ length: 200_000 }, () => random.uniform());
    const normal = Array.from({ length: 200_000 }, () => random.normal());
    // Five standard errors each.
    expect(Math.abs(total(uniform) / 200_000 - 0.5)).toBeLessThan(
      (5 * Math.sqrt(1 / 12)) / Math.sqrt(200_000),
    );
    expect(Math.abs(total(uniform.map((u) => (u - 0.5) ** 2)) / 200_000 - 1 / 12)).toBeLessThan(0.001);
    expect(Math.abs(total(normal) / 200_000)).toBeLessThan(5 / Math.sqrt(200_000));
    expect(Math.abs(total(normal.map((z) => z * z)) / 200_000 - 1)).toBeLessThan(5 * Math.sqrt(2 / 200_000));
  });
});
