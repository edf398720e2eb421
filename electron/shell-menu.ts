/** The native menu: what systems expect of any window, with their own words and keys. */
import type { MenuItemConstructorOptions } from 'electron';

/** Undo and redo are the page's own (Ctrl+Z there). Roles bring the keys that the system's users know. */
export function shellMenu(platform: string, onOpen: () => void): MenuItemConstructorOptions[] {
  const ownMenu: MenuItemConstructorOptions[] = platform === 'darwin' ? [{ role: 'appMenu' }] : [];
  return [
    ...ownMenu,
    {
      label: '&File',
      submenu: [
        { label: '&Open season folder…', accelerator: 'CmdOrCtrl+O', click: onOpen },
        { type: 'separator' },
        { role: platform === 'darwin' ? 'close' : 'quit' },
      ],
    },
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
