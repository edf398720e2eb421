import { describe, expect, it } from 'vitest';
import { openerFor, openFile } from '../../electron/host/opener.ts';

describe('opening the report', () => {
  it('takes what the platform has', () => {
    expect(openerFor('/a b.html', {}, 'darwin')).toEqual({ command: 'open', args: ['/a b.html'] });
    expect(openerFor('C:\\a b.html', {}, 'win32')).toEqual({
      command: 'explorer.exe',
      args: ['C:\\a b.html'],
    });
    expect(openerFor('/a.html', { DISPLAY: ':0' }, 'linux')).toEqual({
      command: 'xdg-open',
      args: ['/a.html'],
    });
    expect(openerFor('/a.html', { WAYLAND_DISPLAY: 'wayland-0' }, 'linux')?.command).toBe('xdg-open');
  });

  it('tries nothing without a display, or when told not to', () => {
    expect(openerFor('/a.html', {}, 'linux')).toBeUndefined();
    expect(openerFor('/a.html', { SHEAFLIGHT_NO_OPEN: '1' }, 'darwin')).toBeUndefined();
  });

  it('is no failure where there is no opener', async () => {
    expect(await openFile('/a.html', { DISPLAY: ':0', PATH: '/nowhere' }, 'linux')).toBe(false);
  });
});
