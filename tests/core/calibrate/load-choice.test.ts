/** Decisions of season.json about loads, and what is said where they leave nothing or mean nothing. */
import { describe, expect, test } from 'vitest';
import { choiceFor, choiceNotices } from '../../../core/calibrate/load-choice.ts';
import { estimateLoadFit } from '../../../core/calibrate/load-fit.ts';
import { madeLoad, reweighed } from './made-loads.ts';

const loads = [4100, 7300, 5200, 9800].map((x, i) => madeLoad(`10${i + 1}`, x, x, 600 + 10 * i));

describe('a decision about a ticket', () => {
  test('that belongs to no load is told, with the name that was likely meant', () => {
    const choices = {
      loads: [
        { ticket: '103', use: false },
        { ticket: '1O2', use: false },
        { ticket: 'Mill road 7', use: true },
      ],
    };
    const notices = choiceNotices(loads, choices);
    expect(notices.map(({ code }) => code)).toEqual(['load_choice_unknown', 'load_choice_unknown']);
    expect(notices[0].text).toBe(
      'season.json says to set aside ticket "1O2", which belongs to no load; did you mean "102"?',
    );
    expect(notices[1].text).toContain('to use ticket "Mill road 7"');
    expect(notices[1].text).toContain('loads are "101", "102", "103", "104".');
    expect(choiceNotices([], { loads: [{ ticket: '1', use: true }] })[0].text).toContain('no load at all');
    expect(choiceFor(loads[2], choices)).toBe(false);
    expect(choiceFor(loads[0], choices)).toBeUndefined();
  });

  test('by the hundred is told by the dozen', () => {
    const many = Array.from({ length: 100 }, (_, i) => ({ ticket: `X${i}`, use: true }));
    const notices = choiceNotices(loads, { loads: many });
    expect(notices).toHaveLength(26);
    expect(notices[25]).toMatchObject({ code: 'more_of_a_kind', count: 75 });
  });
});

describe('what is said of a fit', () => {
  test('all loads set aside: one sentence, which asks for no ticket', () => {
    const all = { loads: loads.map(({ ticket }) => ({ ticket, use: false })) };
    const said = estimateLoadFit(loads, all).notices.filter(({ code }) => code === 'uncalibrated');
    expect(said).toHaveLength(1);
    expect(said[0].text).toContain('All 4 loads are set aside');
    expect(said[0].text).not.toContain('Add scale tickets');
  });

  test('a weight a thousand times too large is told in plain numbers and in the unit of its ticket', () => {
    const wrong = loads.map((load, i) =>
      i === 1 ? reweighed(load, 1000 * load.scale_kg, { written_in: 'kg' }) : load,
    );
    const { rows } = estimateLoadFit(wrong).solution;
    expect(rows[1].why).toContain('The scale says 7300000 kg, 1000 times what the other loads expect.');
    const small = [12.5, 9.1, 7.3, 5.2].map((x, i) => madeLoad(`${i}`, x, x, 60, { written_in: 'kg' }));
    const light = small.map((load) => ({ ...load, scale_sigma_kg: 0.01 }));
    light[0] = reweighed(light[0], 13.9);
    expect(estimateLoadFit(light).solution.rows[0].why).toContain('The scale says 13.9 kg');
  });

  test('a gain of 0.45 with tickets in kilograms is no mistake of their unit', () => {
    const halved = (written_in: 'kg' | 'lb') =>
      loads.map((load) => reweighed(load, 0.4536 * load.scale_kg, { written_in }));
    const text = (written_in: 'kg' | 'lb') =>
      estimateLoadFit(halved(written_in)).notices.find(({ code }) => code === 'implausible_gain')?.text;
    expect(text('lb')).toContain('their columns say lb');
    expect(text('kg')).toContain('Check the unit of the tickets, the paddle and pitch measures');
  });
});
