import { describe, expect, test } from 'vitest';
import { findTicketMistake } from '../../../core/calibrate/ticket-mistakes.ts';
import { factorText, weightText } from '../../../core/calibrate/weight-text.ts';
import { kgFromLb, kgFromShortTons } from '../../../core/units.ts';
import { madeTicket } from './made-loads.ts';

/** What is said of a single ticket when the others expect `expected_kg`, within half a per cent. */
const said = (net_kg: number, expected_kg: number, more: Parameters<typeof madeTicket>[2] = {}) =>
  findTicketMistake([madeTicket('T1', net_kg, more)], net_kg, expected_kg, 0.005 * expected_kg);

describe('likely mistakes on a ticket', () => {
  test('neighbouring digits swapped, in the unit in which the weight was written', () => {
    expect(said(13_240, 12_330)).toMatchObject({
      kind: 'swapped_digits',
      corrected_kg: 12_340,
      text: 'two digits swapped; 12340 kg instead of 13240 kg would fit',
    });
    expect(said(kgFromLb(28_540), kgFromLb(25_850))?.text).toContain('25840 lb instead of 28540 lb');
    // 7.94 tons are 15880 lb: swapping digits of the pounds gives nothing, swapping those of the tons 9.74.
    expect(said(kgFromShortTons(9.74), kgFromShortTons(7.94))?.text).toContain(
      '7.94 US tons instead of 9.74',
    );
  });

  test('digits far apart swapped, one digit mistyped', () => {
    expect(said(16_340, 14_360)?.text).toContain('14360 kg instead of 16340 kg');
    expect(said(12_840, 11_840)).toMatchObject({ kind: 'mistyped_digit', corrected_kg: 11_840 });
  });

  test('a digit left out or too many', () => {
    expect(said(1234, 12_340)).toMatchObject({ kind: 'shifted_digits', corrected_kg: 12_340 });
    expect(said(123_400, 12_340)).toMatchObject({ kind: 'shifted_digits', corrected_kg: 12_340 });
  });

  test('pounds and kilograms, tons and tons', () => {
    expect(said(27_200, kgFromLb(27_200))?.kind).toBe('lb_for_kg');
    expect(said(kgFromLb(12_340), 12_340)?.kind).toBe('kg_for_lb');
    expect(said(12_340, 12_340 * 0.90718474)?.kind).toBe('short_ton_for_tonne');
    expect(said(kgFromShortTons(12.34), 12_340)?.kind).toBe('tonne_for_short_ton');
  });

  test('gross, tare and net', () => {
    const weighed = { gross_kg: 26_500, tare_kg: 14_160 };
    expect(said(13_240, 12_340, weighed)?.kind).toBe('net_not_gross_less_tare');
    expect(said(26_500, 12_340, { gross_kg: Number.NaN, tare_kg: 14_160 })?.kind).toBe('gross_for_net');
    expect(said(5000, 19_160, { gross_kg: 19_160, tare_kg: 14_160 })?.kind).toBe('tare_twice');
  });

  test('one ticket of several: the others count as written', () => {
    const tickets = [madeTicket('T1', 5000), madeTicket('T2', 13_240)];
    expect(findTicketMistake(tickets, 18_240, 17_340, 50)).toMatchObject({
      kind: 'swapped_digits',
      corrected_kg: 17_340,
    });
  });

  test('the likelier kind is named although a digit would fit as well', () => {
    // 10432 kg as pounds are 4732 kg; one digit changed cannot come near. 22 046/2.2046 = 10 000: unit before digits.
    expect(said(22_046, 10_000)?.kind).toBe('lb_for_kg');
  });

  test('nothing fits, nothing is said', () => {
    expect(said(12_345, 6000)).toBeUndefined();
    expect(findTicketMistake([], 1000, 900, 10)).toBeUndefined();
  });
});

test('weights are written as on the ticket', () => {
  expect(weightText(12_340)).toBe('12340 kg');
  expect(weightText(kgFromLb(27_210))).toBe('27210 lb');
  expect(weightText(453.59237, 'kg')).toBe('453.592 kg');
  expect(weightText(12.5)).toBe('12.5 kg');
  expect(weightText(12_340, 't')).toBe('12.34 t');
  expect(weightText(kgFromShortTons(7.9), 'ston')).toBe('7.90 US tons');
});

test('a unit that does not stand on the ticket is not the one that was mistaken', () => {
  expect(said(kgFromLb(11_840), 11_840)?.kind).toBe('kg_for_lb');
  expect(said(5371, 11_840, { written_in: 'kg' })?.kind).not.toBe('kg_for_lb');
  expect(said(26_103, 11_840, { written_in: 'kg' })?.kind).toBe('lb_for_kg');
  expect(said(26_103, 11_840, { written_in: 'lb' })?.kind).not.toBe('lb_for_kg');
  expect(said(1230, 1130, { written_in: 't' })?.text).toContain('1.13 t instead of 1.23 t');
});

test('factors are written out, never as a power of ten', () => {
  expect([1000, 1234.5, 22.046, 2.2046, 0.4536, 0.001].map(factorText)).toEqual([
    '1000',
    '1235',
    '22',
    '2.2',
    '0.454',
    '0.001',
  ]);
});
