/** The native menu: what systems expect of any window, with their own words and keys. */
import type { MenuItemConstructorOptions } from 'electron';

/** Undo and redo of the season are the page's own (Ctrl+Z there); these are those of text being typed. */
export function shellMenu(platform: string): MenuItemConstructorOptions[] {
  const ownMenu: MenuItemConstructorOptions[] = platform === 'darwin' ? [{ role: 'appMenu' }] : [];
  return [
    ...ownMenu,
    { label: '&File', submenu: [{ role: platform === 'darwin' ? 'close' : 'quit' }] },
    {
      label: '&Edit',
      submenu: [{ role: 'cut' }, { role: 'copy' }, { role: 'paste' }, { role: 'selectAll' }],
    },
    {
      label: '&View',
      submenu: [
        { role: 'reload' },
        { type: 'separator' },
        { role: 'resetZoom' },
        { role: 'zoomIn' },
        { role: 'zoomOut' },
        { type: 'separator' },
        { role: 'togglefullscreen' },
      ],
    },
    { role: 'windowMenu' },
  ];
}
