/** Times proposed for loads whose tickets have none. */
import { describe, expect, test } from 'vitest';
import { proposeSpans } from '../../../core/calibrate/load-spans.ts';
import { proposeShifts } from '../../../core/calibrate/shift-proposals.ts';
import type { BeamRecord, CutField } from '../../../core/calibrate/ticket-claims.ts';
import { findCrop } from '../../../core/grain/find-crop.ts';
import { Random } from '../../synthetic/random.ts';
import { madeTicket } from './made-loads.ts';

const EPOCH = 1_790_000_000;
const corn = findCrop({}, 'corn');
if (!corn.ok) throw new Error(corn.error.text);

/** Passes of 400 s with turns of 30 s, and a stand of 120 s after every load; weights as the scale would say. */
function harvest(seed: number) {
  const random = new Random(seed, 'spans');
  const t_s = [0];
  const cumulative = [0];
  const running = [0];
  const tickets: { kg: number; start_s: number; end_s: number }[] = [];
  const stand = (length_s: number) => {
    t_s.push(t_s[t_s.length - 1] + length_s);
    cumulative.push(cumulative[cumulative.length - 1]);
    running.push(running[running.length - 1] + length_s);
  };
  for (let load = 0; load < 6; load++) {
    const start_s = t_s[t_s.length - 1];
    const before = cumulative[cumulative.length - 1];
    const passes = 2 + random.integer(3);
    for (let pass = 0; pass < passes; pass++) {
      const flow = random.between(0.01, 0.02);
      t_s.push(t_s[t_s.length - 1] + 400);
      cumulative.push(cumulative[cumulative.length - 1] + 400 * flow);
      running.push(running[running.length - 1] + 400);
      if (pass + 1 < passes) stand(30);
    }
    const grain = cumulative[cumulative.length - 1] - before;
    tickets.push({ kg: 700 * grain * (1 + 0.005 * random.normal()), start_s, end_s: t_s[t_s.length - 1] });
    if (load < 5) stand(120);
  }
  const column = (numbers: readonly number[]) => Float64Array.from(numbers);
  const record: BeamRecord = {
    machine: 'c1',
    machine_name: 'combine 1',
    passage: { t_s: column(t_s), cumulative: column(cumulative), basis: 'volume' },
    running: { t_s: column(t_s), cumulative_s: column(running) },
  };
  return { record, tickets, end_s: t_s[t_s.length - 1] };
}

function proposed(seed: number, change: (kg: number, i: number) => number = (kg) => kg) {
  const { record, tickets, end_s } = harvest(seed);
  const field: CutField = {
    name: 'Home',
    crop: corn.ok ? corn.value : (undefined as never),
    spells: [{ machine: 'c1', bounds_s: Float64Array.of(0, end_s) }],
  };
  const written = tickets.map(({ kg }, i) => madeTicket(`${i + 1}`, change(kg, i), { field: 'Home' }));
  return { ...proposeSpans(written, [record], [field], EPOCH), truth: tickets };
}

describe('loads without times', () => {
  test('get those between the stops at which scale and beam agree, named as proposed', () => {
    let right = 0;
    for (let seed = 1; seed <= 20; seed++) {
      const { proposals, notices, truth } = proposed(seed);
      expect(proposals).toHaveLength(6);
      expect(notices.map(({ code }) => code)).toEqual(['load_spans_proposed']);
      const off_s = proposals.map(({ start_utc }, i) =>
        Math.abs(Date.parse(start_utc) / 1000 - EPOCH - truth[i].start_s),
      );
      // in the middle of the stand, which is 120 s long
      if (off_s.every((off) => off <= 65)) right++;
    }
    expect(right).toBe(20);
    const { proposals } = proposed(1);
    expect(proposals[0]).toMatchObject({ ticket: '1', machine: 'c1', field: 'Home' });
    expect(proposals[0].evidence).toContain('stops without grain');
    expect(proposals[0].scatter_pct).toBeLessThan(2);
  });

  test('get none where the weights belong to other stops', () => {
    const { proposals, notices } = proposed(3, (kg, i) => kg * (i % 2 === 0 ? 1.4 : 0.6));
    expect(proposals).toEqual([]);
    expect(notices).toEqual([]);
  });
});

describe('tickets whose times are moved', () => {
  /** Tickets at their true times less `hours`. */
  function moved(hours: number) {
    const { record, tickets } = harvest(3);
    const written = tickets.map(({ kg, start_s, end_s }, i) =>
      madeTicket(`${i + 1}`, kg, {
        start_utc_s: EPOCH + start_s - 3600 * hours,
        end_utc_s: EPOCH + end_s - 3600 * hours,
      }),
    );
    return { proposals: proposeShifts(written, [record], [], EPOCH), truth: tickets };
  }

  test.each([5, -6, 24])('by %i h get their own times proposed, to the second', (hours) => {
    const { proposals, truth } = moved(hours);
    expect(proposals).toHaveLength(truth.length);
    proposals.forEach(({ start_utc, end_utc }, i) => {
      expect(Date.parse(start_utc) / 1000 - EPOCH).toBe(Math.round(truth[i].start_s));
      expect(Date.parse(end_utc) / 1000 - EPOCH).toBe(Math.round(truth[i].end_s));
    });
    expect(proposals[0].evidence).toContain('added they fall on running time');
  });

  test('tickets at the right times get none', () => {
    expect(moved(0).proposals).toEqual([]);
  });
});
