import { describe, expect, it } from 'vitest';
import { exchangeEdit } from '../../../renderer/session/exchange-edit.ts';

describe('two tickets that were exchanged', () => {
  // 1 700 000 000 s after 1970 is 2023-11-14T22:13:20Z (POSIX time).
  const epoch_utc_s = 1_700_000_000;
  const spans = [
    { ticket: '1', start_s: 0, end_s: 600 },
    { ticket: '2 + 3', start_s: 1000, end_s: 2000 },
  ];

  it('change their times, each load as a whole, under one name', () => {
    expect(exchangeEdit(['1', '2 + 3'], spans, epoch_utc_s)).toEqual({
      kind: 'several',
      name: 'Tickets 1 and 2 + 3 exchanged',
      edits: [
        {
          kind: 'set_load_span',
          tickets: ['1'],
          span: { start_utc: '2023-11-14T22:30:00.000Z', end_utc: '2023-11-14T22:46:40.000Z' },
        },
        {
          kind: 'set_load_span',
          tickets: ['2', '3'],
          span: { start_utc: '2023-11-14T22:13:20.000Z', end_utc: '2023-11-14T22:23:20.000Z' },
        },
      ],
    });
  });

  it('stay where the times of one are not known', () => {
    expect(exchangeEdit(['1', '9'], spans, epoch_utc_s)).toBeNull();
  });
});
