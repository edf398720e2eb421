/** The map's own buttons: move, lasso, pass; nearer, further, whole field; the table beside it. */
import type { MapTool } from './types.ts';

const SHAPES = {
  pan: 'M8 1.8v12.4M1.8 8h12.4M8 1.8 6 3.8M8 1.8l2 2M8 14.2l-2-2M8 14.2l2-2M1.8 8l2-2M1.8 8l2 2M14.2 8l-2-2M14.2 8l-2 2',
  lasso:
    'M8 2.5c3.6 0 6 1.7 6 3.9s-2.4 3.9-6 3.9-6-1.7-6-3.9 2.4-3.9 6-3.9zM4.6 9.6c-1 .6-1.1 2 0 2.6 1.2.6 2.4-.3 2-1.5M4.4 12.2c.4.8 0 1.6-.8 2',
  boundary:
    'M3.2 4.4 11 3l2.4 7.6-8 2.6zM2 3.6h2.2v2.2H2zM10 1.8h2.2V4H10zM12.4 9.6h2.2v2.2h-2.2zM4.4 12h2.2v2.2H4.4z',
  under: 'M8 2.2 14 5.4 8 8.6 2 5.4zM2 8.2l6 3.2 6-3.2M2 11l6 3.2 6-3.2',
  pass: 'M3 13.5V2.5h3.3v11h3.4v-11H13v11',
  nearer: 'M8 3v10M3 8h10',
  further: 'M3 8h10',
  fit: 'M2.5 6V2.5H6M10 2.5h3.5V6M13.5 10v3.5H10M6 13.5H2.5V10',
  table: 'M2.5 3.5h11v9h-11zM2.5 6.5h11M2.5 9.5h11M6.5 3.5v9',
} as const;

interface ToolsProps {
  readonly tool: MapTool;
  readonly isTableOpen: boolean;
  readonly hasBoundaryTool: boolean;
  /** Whether the choice of a base map is open; absent: there is none. */
  readonly isBaseMapOpen?: boolean;
  readonly onBaseMap: () => void;
  readonly onTool: (tool: MapTool) => void;
  readonly onZoom: (way: 'in' | 'out') => void;
  readonly onFit: () => void;
  readonly onTable: () => void;
}

export function MapTools({ tool, isTableOpen, hasBoundaryTool, isBaseMapOpen, onTool, ...on }: ToolsProps) {
  const { onZoom, onFit, onTable, onBaseMap } = on;
  const choices = [
    { name: 'pan', words: 'Move the map' },
    { name: 'lasso', words: 'Lasso: draw around points (Shift adds, Alt takes away)' },
    { name: 'pass', words: 'Pass: click to select a pass (Shift adds, Alt takes away)' },
  ] as const;
  return (
    <div className="map-tools" role="toolbar" aria-label="Map">
      {choices.map(({ name, words }) => (
        <ToolButton key={name} shape={name} words={words} isOn={tool === name} onClick={() => onTool(name)} />
      ))}
      {hasBoundaryTool && (
        <ToolButton
          shape="boundary"
          words="Boundary: draw or change the field’s outline"
          isOn={tool === 'boundary'}
          onClick={() => onTool(tool === 'boundary' ? 'pan' : 'boundary')}
        />
      )}
      <hr />
      <ToolButton shape="nearer" words="Nearer (+)" onClick={() => onZoom('in')} />
      <ToolButton shape="further" words="Further (−)" onClick={() => onZoom('out')} />
      <ToolButton shape="fit" words="Whole field (0)" onClick={onFit} />
      <hr />
      {isBaseMapOpen !== undefined && (
        <ToolButton shape="under" words="Map under the fields" isOn={isBaseMapOpen} onClick={onBaseMap} />
      )}
      <ToolButton shape="table" words="Points as a table" isOn={isTableOpen} onClick={onTable} />
    </div>
  );
}

interface ToolButtonProps {
  readonly shape: keyof typeof SHAPES;
  readonly words: string;
  /** Of a button that stays in. */
  readonly isOn?: boolean;
  readonly onClick: () => void;
}

function ToolButton({ shape, words, isOn, onClick }: ToolButtonProps) {
  return (
    <button type="button" title={words} aria-label={words} aria-pressed={isOn} onClick={onClick}>
      <svg viewBox="0 0 16 16" width="16" height="16" aria-hidden="true">
        <path
          d={SHAPES[shape]}
          fill="none"
          stroke="currentColor"
          strokeWidth="1.3"
          strokeLinecap="round"
          strokeLinejoin="round"
        />
      </svg>
    </button>
  );
}
