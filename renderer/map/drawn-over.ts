/** What others draw over the map, e.g. strips. */
import type { ReactNode } from 'react';
import type { FieldMapView } from './field-map-view.ts';

export interface DrawnOver {
  readonly draw: (view: FieldMapView) => ReactNode;
  /** Whether it takes clicks and keys for drawing: then the map's own tools rest. */
  readonly isDrawing: boolean;
}
