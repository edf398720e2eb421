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
