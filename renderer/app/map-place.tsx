/** Where the map is: the points of the shown field, or what is still missing. */
import { useMemo } from 'react';
import type { SurfaceSheet } from '../../core/surface/surface-sheet.ts';
import { FieldMap } from '../map/field-map.tsx';
import type { ClassChoice, MapComparison } from '../map/types.ts';
import { rowStory } from '../session/row-story.ts';
import { bushelOf, machineName } from '../session/season-figures.ts';
import { fieldIndexOf, type SessionState, unitsOf } from '../session/session-state.ts';
import type { ShownSurface } from '../session/shown-surface.ts';
import { classesOfSurface, useZoneLines } from '../session/surface-zones.ts';
import { haveSameCells, type SurfaceView, surfacesOf, useSurface } from '../session/surfaces.ts';
import { useHoverRow, useSession, useSessionState } from '../session/use-session.ts';
import { CLASS_WORDS } from '../steps/surface/class-words.ts';
import { useBaseMap } from './use-base-map.ts';
import { useStrips } from './use-strips.tsx';

const NO_OUTLINE: readonly [] = [];

export function MapPlace() {
  const session = useSession();
  const state = useSessionState();
  const hoverRow = useHoverRow();
  const { season, built, job, view, outlines } = state;
  const index = fieldIndexOf(state);
  const columns = built?.points.get(index);
  const document = season?.document;
  const names = useMemo(
    () =>
      document === undefined ? [] : (built?.reply.machines ?? []).map((id) => machineName(document, id)),
    [built?.reply.machines, document],
  );
  const baseMap = useBaseMap();
  const compareWith = useComparison(state, index);
  const shownSurface = useSurface();
  const { surface, sheet, isZoned, isClassed } = shownSurface;
  const compareSurfaces = useSurfaceComparison(shownSurface);
  const zoneLines = useZoneLines(surface, sheet, isZoned);
  const over = useStrips();
  const classes = useMapClasses(state, isClassed ? surface : null, sheet);
  if (season === null || document === undefined) return null;
  if (columns === undefined) {
    const isOn = built !== null || job?.state === 'queued' || job?.state === 'running';
    return <p className="hint">{isOn ? MAKING : MISSING}</p>;
  }
  const cells = surface?.columns;
  const boundary = document.fields.find(({ name }) => name === columns.field)?.boundary;
  return (
    <FieldMap
      columns={cells ?? columns}
      cell_m={surface?.cell_m}
      outline={zoneLines ?? (boundary === undefined ? undefined : outlines.get(boundary)) ?? NO_OUTLINE}
      theme={view.theme}
      units={unitsOf(state)}
      bushel_kg={bushelOf(document, columns.crop)}
      colourBy={cells && view.colourBy !== 'yield_se' ? 'yield' : view.colourBy}
      ramp={view.ramp}
      classes={classes}
      drawAs={cells ? 'swaths' : view.drawAs}
      storyOf={cells ? undefined : (row) => rowStory(built, columns, row)}
      fadeUncertain={cells === undefined}
      selection={cells ? null : view.selection}
      timeSpan={cells ? null : view.span}
      hoverRow={cells ? null : hoverRow}
      tool={view.tool}
      compareWith={cells ? compareSurfaces : compareWith}
      machines={names}
      loads={built?.reply.loads}
      epoch_utc_s={built?.reply.epoch_utc_s}
      onHover={cells ? undefined : (row) => session.hover(row)}
      onSelect={cells ? undefined : (selection) => session.look({ selection, thread: null })}
      baseMap={baseMap}
      over={over}
      onBoundary={cells ? undefined : (rings) => session.drawBoundary(columns.field, rings)}
      onToolChange={(tool) => session.look({ tool })}
      onLookChange={({ classes: chosen, ...look }) =>
        session.look(chosen.method === 'given' ? look : { ...look, classes: chosen })
      }
      onLimits={(limits_kg_m2) =>
        surfacesOf(session).try({ classes: { method: 'user', count: null, limits_kg_m2 } })
      }
    />
  );
}

const MAKING = 'Making the map from the logs. This takes a moment the first time.';
const MISSING =
  'The map appears when there are logs, a machine and a field. Drop files anywhere on this window.';

/** The kept surface beside the one that is tried, where that is asked for. */
function useSurfaceComparison({ surface, own, draft, compare }: SurfaceView): MapComparison | null {
  return useMemo(() => {
    if (draft === null || own === null || surface === null || own === surface || compare === 'off')
      return null;
    if (compare === 'difference' && !haveSameCells(own, surface)) return null;
    const labels = { before_label: 'Kept', after_label: 'Tried' };
    return { columns: own.columns, show: compare, rows: 'same', ...labels };
  }, [surface, own, draft, compare]);
}

/** The classes of the surface where the map shows them, else those of the legend. */
function useMapClasses(
  { view }: SessionState,
  classed: ShownSurface | null,
  sheet: SurfaceSheet,
): ClassChoice {
  return useMemo(() => {
    if (classed === null || view.colourBy === 'yield_se') return view.classes;
    const { limits_kg_m2 } = classesOfSurface(classed, sheet);
    return {
      method: 'given',
      limits_si: limits_kg_m2,
      words: CLASS_WORDS[sheet.classes?.method ?? 'natural'],
    };
  }, [view.classes, view.colourBy, classed, sheet]);
}

/** The field before the last change, where it is asked for. */
function useComparison({ before, view }: SessionState, index: number): MapComparison | null {
  const earlier = before?.points.get(index);
  const { compare } = view;
  return useMemo(
    () => (earlier === undefined || compare === 'off' ? null : { columns: earlier, show: compare }),
    [earlier, compare],
  );
}
