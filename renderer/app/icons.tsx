/** The few icons of the window, drawn on one 16-point grid with one stroke. */
const SHAPES = {
  undo: 'M6 3 2.5 6.5 6 10M3 6.5h6.5a4 4 0 0 1 0 8H7',
  redo: 'M10 3l3.5 3.5L10 10M13 6.5H6.5a4 4 0 0 0 0 8H9',
  history: 'M8 4.5V8l2.5 1.5M2.5 8a5.5 5.5 0 1 0 1.8-4.1M2.5 2.5v2.6h2.6',
  light:
    'M8 1.5v1.6M8 12.9v1.6M1.5 8h1.6M12.9 8h1.6M3.4 3.4l1.1 1.1M11.5 11.5l1.1 1.1M3.4 12.6l1.1-1.1M11.5 4.5l1.1-1.1M5 8a3 3 0 1 0 6 0a3 3 0 1 0-6 0',
  dark: 'M13.5 9.6A6 6 0 0 1 6.4 2.5a6 6 0 1 0 7.1 7.1z',
  fields: 'M2 2.5h5v5H2zM9 2.5h5v5H9zM2 9.5h5v4H2zM9 9.5h5v4H9z',
} as const;

export function Icon({ name }: { readonly name: keyof typeof SHAPES }) {
  return (
    <svg viewBox="0 0 16 16" width="16" height="16" aria-hidden="true">
      <path
        d={SHAPES[name]}
        fill="none"
        stroke="currentColor"
        strokeWidth="1.4"
        strokeLinecap="round"
        strokeLinejoin="round"
      />
    </svg>
  );
}

/** The program's mark: a sheaf seen as rays over a beam. */
export function ProgramMark() {
  return (
    <svg viewBox="0 0 20 20" width="20" height="20" aria-hidden="true">
      <path
        d="M10 18V9M10 9C10 5.5 8 3.5 5 2.5c0 3.5 1.6 5.6 5 6.5zM10 9c0-3.5 2-5.5 5-6.5 0 3.5-1.6 5.6-5 6.5zM3 13h14"
        fill="none"
        stroke="var(--accent)"
        strokeWidth="1.6"
        strokeLinejoin="round"
        strokeLinecap="round"
      />
    </svg>
  );
}
