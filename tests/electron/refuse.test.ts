import { describe, expect, it } from 'vitest';
import { refuse } from '../../electron/command/refuse.ts';
import { diskLayer } from '../../electron/host/file-layer.ts';

function exitOf(code: 'cancelled' | 'stopped' | 'no_such_field'): number {
  const streams = { out: () => {}, err: () => {}, isTerminal: false, layer: diskLayer };
  return refuse({ error: { code, source: 'season.json', text: 'Why.' }, notices: [] }, streams);
}

describe('what the command refuses', () => {
  it('ends with 130 wherever Ctrl-C met it, and with 2 where the input is wrong', () => {
    expect(exitOf('cancelled')).toBe(130);
    expect(exitOf('stopped')).toBe(130);
    expect(exitOf('no_such_field')).toBe(2);
  });
});
