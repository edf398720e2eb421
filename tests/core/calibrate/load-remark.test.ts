import { expect, test } from 'vitest';
import { estimateLoadFit } from '../../../core/calibrate/load-fit.ts';
import { exchangedWith } from '../../../core/calibrate/load-remark.ts';
import { Random } from '../../synthetic/random.ts';
import { honestLoads, reweighed } from './made-loads.ts';

test('the remark of an exchanged ticket names the load that it was exchanged with, others name none', () => {
  const loads = honestLoads(new Random(5, 'exchanged'), 6, { k: 1, zero_kg_s: 0, scatter: 0.003 });
  const written = loads.map((load, i) =>
    i === 0 ? reweighed(load, loads[3].scale_kg) : i === 3 ? reweighed(load, loads[0].scale_kg) : load,
  );
  const { rows } = estimateLoadFit(written).solution;
  expect(rows.map(({ why }) => exchangedWith(why))).toEqual(
    rows.map((_, i) => (i === 0 ? loads[3].ticket : i === 3 ? loads[0].ticket : undefined)),
  );
});
