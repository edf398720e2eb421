/** Traces of the timeline, when they are gathered; older ones stay until newer ones are. */
import { useEffect, useState } from 'react';
import type { FieldColumns } from '../map/types.ts';
import { gatherTraces, type Traces } from './traces.ts';
import type { EmptyLevels, TrackName } from './types.ts';

export function useTraces(
  columns: readonly FieldColumns[],
  tracks: readonly TrackName[],
  empties: EmptyLevels | null,
): Traces | null {
  const [traces, setTraces] = useState<Traces | null>(null);
  const names = tracks.join(' ');
  useEffect(() => {
    let isWanted = true;
    void gatherTraces(columns, names.split(' ') as TrackName[], empties).then((gathered) => {
      if (isWanted) setTraces(gathered);
    });
    return () => {
      isWanted = false;
    };
  }, [columns, names, empties]);
  return traces;
}

/** Size of an element, kept up to date; 0 × 0 before it is on the page. */
export function useSize(place: React.RefObject<HTMLElement | null>): { width: number; height: number } {
  const [size, setSize] = useState({ width: 0, height: 0 });
  useEffect(() => {
    if (!place.current) return;
    const watcher = new ResizeObserver(([entry]) => {
      const { width, height } = entry.contentRect;
      setSize({ width: Math.floor(width), height: Math.floor(height) });
    });
    watcher.observe(place.current);
    return () => watcher.disconnect();
  }, [place]);
  return size;
}
