/** A field as large as a stamp: yields in cells about as wide as a swath, for the table of all fields. */
import { useEffect, useRef } from 'react';
import { pause } from './pause.ts';
import { rampColour } from './ramps.ts';
import { type CellYields, cellYields } from './small-cells.ts';
import type { FieldColumns, Theme } from './types.ts';

export interface SmallScale {
  /** Yields at the ends of the colours, kg/m². */
  readonly low_kg_m2: number;
  readonly high_kg_m2: number;
}

interface SmallMapProps {
  readonly field: string;
  /** Absent until they are there. */
  readonly columns: FieldColumns | undefined;
  readonly scale: SmallScale;
  readonly theme: Theme;
}

export const SMALL_MAP_PX = { width: 84, height: 56 };

export function SmallMap({ field, columns, scale, theme }: SmallMapProps) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const { low_kg_m2, high_kg_m2 } = scale;
  useEffect(() => {
    let isWanted = true;
    void pause().then(() => {
      if (!isWanted || !canvas.current || columns === undefined) return;
      const cells = cellYields(columns, SMALL_MAP_PX);
      if (cells) paint(canvas.current, cells, { low_kg_m2, high_kg_m2 }, theme);
    });
    return () => {
      isWanted = false;
    };
  }, [columns, low_kg_m2, high_kg_m2, theme]);
  return <canvas ref={canvas} className="small-map" role="img" aria-label={`Map of ${field}`} />;
}

function paint(canvas: HTMLCanvasElement, cells: CellYields, scale: SmallScale, theme: Theme): void {
  canvas.width = cells.across;
  canvas.height = cells.up;
  const pen = canvas.getContext('2d');
  if (!pen) return;
  const picture = pen.createImageData(cells.across, cells.up);
  cells.yield_kg_m2.forEach((yield_kg_m2, cell) => {
    if (Number.isNaN(yield_kg_m2)) return;
    const share = (yield_kg_m2 - scale.low_kg_m2) / (scale.high_kg_m2 - scale.low_kg_m2);
    picture.data.set([...rampColour('viridis', Math.min(Math.max(share, 0), 1), theme), 255], 4 * cell);
  });
  pen.putImageData(picture, 0, 0);
}

/** The colours of all small maps, once for all of them. */
export function SmallMapLegend({ theme }: { readonly theme: Theme }) {
  const steps = Array.from({ length: 32 }, (_, i) => i / 31);
  return (
    <span
      className="small-legend"
      role="img"
      aria-label="Colours from half to one and a half times the mean yield of the crop"
    >
      <span>½</span>
      <svg width="128" height="10" aria-hidden="true">
        {steps.map((share, i) => (
          <rect
            key={share}
            x={4 * i}
            width="4.5"
            height="10"
            fill={`rgb(${rampColour('viridis', share, theme).join(' ')})`}
          />
        ))}
      </svg>
      <span>1½ × the crop’s mean yield</span>
    </span>
  );
}
