/** The map of one field: ground in colour, what was screened, and what a point went through. */
import './field-map.css';
import { type KeyboardEvent, useEffect, useMemo, useRef, useState } from 'react';
import { SCREENING_RULES } from '../../core/result.ts';
import { BaseMapPanel } from './base-map-panel.tsx';
import { BoundaryEditor } from './boundary-editor.tsx';
import type { DrawnOver } from './drawn-over.ts';
import { fitField, useFit } from './field-fit.ts';
import type { FieldMapView } from './field-map-view.ts';
import { lassoMask } from './lasso.ts';
import { Legend } from './legend.tsx';
import { lonLatFromMetres } from './local-frame.ts';
import { Divide, Lasso, Outline, RowRing } from './map-overlay.tsx';
import { MapTools } from './map-tools.tsx';
import { PointTable } from './point-table.tsx';
import type { PreparedField } from './prepared-field.ts';
import { Readout, spokenRow } from './readout.tsx';
import { ScaleBar } from './scale-bar.tsx';
import { countSelected, joinMasks, passMask, rememberLine } from './selections.ts';
import { packStates } from './swath-buffers.ts';
import { mixed, themeColours } from './theme-colours.ts';
import type { FieldMapProps, MapTool, RowMask } from './types.ts';
import { useMapView } from './use-map-view.ts';
import { type Painted, usePaint } from './use-paint.ts';
import { type PointedAt, usePointer } from './use-pointer.ts';
import { usePreparedField } from './use-prepared-field.ts';

const SHOWN_RULES: readonly string[] = SCREENING_RULES.filter((rule) => rule !== 'not_cutting');
/** Colour of screened ground: so much of the way from the ground to the token for ghosts. */
const GHOST_SHARE = 0.55;

type How = 'replace' | 'add' | 'remove';

export function FieldMap(props: FieldMapProps & { readonly over?: DrawnOver }) {
  const place = useRef<HTMLDivElement>(null);
  const life = useMapView(place);
  const view = life.state === 'alive' ? life.view : null;
  const preparing = usePreparedField(props.columns);
  const field = preparing.state === 'ready' ? preparing.field : undefined;
  const earlier = usePreparedField(props.compareWith?.columns);
  const before = props.compareWith && earlier.state === 'ready' ? earlier.field : undefined;
  const [shown_rules, setShownRules] = useState(SHOWN_RULES);
  const painted = usePaint(view, field, before, props);
  const [ownTool, setOwnTool] = useState<MapTool>('pan');
  const isDrawingOver = props.over?.isDrawing ?? false;
  const tool = isDrawingOver ? 'pan' : (props.tool ?? ownTool);
  const [pointed, setPointed] = useState<PointedAt | null>(null);
  const [isTableOpen, setTableOpen] = useState(false);
  const [tableRow, setTableRow] = useState<number | null>(null);
  const [isBaseMapOpen, setBaseMapOpen] = useState(false);
  const owedTo = useBaseMapLayers(view, props);
  const [divide, setDivide] = useState(0.5);
  const isDrawingBoundary = tool === 'boundary' && props.onBoundary !== undefined;
  const isDrawing = isDrawingBoundary || isDrawingOver;
  const isSplit = props.compareWith?.show === 'split' && before !== undefined;

  useDrawing(view, place, field, isSplit ? before : undefined, painted, shown_rules, props);
  useFit(view, field, props);
  useEffect(() => {
    if (preparing.state === 'nowhere') view?.setField(undefined);
  }, [view, preparing.state]);
  useEffect(() => view?.layer.setDivide(divide), [view, divide]);
  useEffect(() => setCursor(view, tool), [view, tool]);

  const select = (mask: RowMask, how: How) => props.onSelect?.(joined(props.selection ?? null, mask, how));
  usePointer(place, view, field, {
    onPoint: (at) => {
      setPointed(isDrawing ? null : at);
      props.onHover?.(at && !isDrawing ? at.row : null);
    },
    onClick: (row, how) => {
      if (isDrawing) return;
      if (row < 0) {
        if (how === 'replace' && props.selection) props.onSelect?.(null);
      } else if (tool === 'pass' || how !== 'replace') select(passMask(props.columns, row), how);
    },
  });
  const chooseTool = (chosen: MapTool) => {
    setOwnTool(chosen);
    props.onToolChange?.(chosen);
  };
  const lasso = (line: readonly number[], how: How) => {
    if (!view || !field) return;
    const ring: number[] = [];
    for (let i = 0; i < line.length; i += 2) ring.push(...(view.metresAt(line[i], line[i + 1]) ?? []));
    const mask = lassoMask(field.ground.xy_m, ring);
    rememberLine(mask, lonLatsOf(field, ring));
    select(mask, how);
  };
  const fitAll = () => fitField(view, field, props.outline, 'gently');
  const press = (event: KeyboardEvent) => {
    if (event.key === 'Escape') {
      if (tool !== 'pan') chooseTool('pan');
      props.onSelect?.(null);
    } else if (event.key === '0' && !(event.target instanceof HTMLSelectElement)) fitAll();
    else return;
    event.preventDefault();
  };
  const ringed = pointed?.row ?? tableRow ?? props.hoverRow ?? null;
  const counts = useMemo(() => countsOf(props.columns.screened_by), [props.columns]);
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: keys that hold for everything in the map
    <div className="field-map" data-tool={isDrawing ? 'boundary' : tool} onKeyDown={press}>
      <div ref={place} className="map-place" />
      {view && field && (
        <svg className="map-overlay" aria-hidden="true">
          {!isDrawingBoundary && <Outline view={view} frame={field.ground.frame} rings={props.outline} />}
          {ringed !== null && ringed < field.ground.rows && (
            <RowRing view={view} field={field} row={ringed} />
          )}
          {tool === 'lasso' && <Lasso onDrawn={lasso} />}
        </svg>
      )}
      {view && isDrawingBoundary && props.onBoundary && (
        <BoundaryEditor
          key={props.columns.field}
          view={view}
          field={props.columns.field}
          outline={props.outline}
          units={props.units}
          onSave={props.onBoundary}
          onLeave={() => chooseTool('pan')}
        />
      )}
      {view && field && props.over?.draw(view)}
      {isSplit && (
        <Divide
          share={divide}
          before_label={props.compareWith?.before_label ?? 'Before'}
          after_label={props.compareWith?.after_label ?? 'After'}
          onChange={setDivide}
        />
      )}
      <MapTools
        tool={tool}
        isTableOpen={isTableOpen}
        hasBoundaryTool={props.onBoundary !== undefined && !isDrawingOver}
        onTool={chooseTool}
        onZoom={(way) =>
          way === 'in' ? view?.map.zoomIn({ duration: 150 }) : view?.map.zoomOut({ duration: 150 })
        }
        isBaseMapOpen={props.baseMap && isBaseMapOpen}
        onBaseMap={() => setBaseMapOpen(!isBaseMapOpen)}
        onFit={fitAll}
        onTable={() => setTableOpen(!isTableOpen)}
      />
      {painted && (
        <Legend
          painted={painted}
          look={{
            colourBy: props.colourBy,
            ramp: props.ramp,
            classes: props.classes,
            drawAs: props.drawAs,
            cell_m: props.cell_m,
          }}
          fades={props.fadeUncertain !== false && props.colourBy === 'yield' && !painted.is_difference}
          kept={counts[0]}
          caught={counts.map((rows, i) => (i === 0 ? 0 : rows))}
          shown_rules={shown_rules}
          onToggleRule={(rule) => setShownRules(toggled(shown_rules, rule))}
          onLookChange={props.onLookChange}
          onLimits={props.onLimits}
        />
      )}
      {isBaseMapOpen && props.baseMap && (
        <BaseMapPanel
          chosen={props.baseMap.base_map}
          problem={props.baseMap.problem}
          onChoose={props.baseMap.choose}
          onClose={() => setBaseMapOpen(false)}
        />
      )}
      {owedTo !== '' && <p className="map-attribution">{owedTo}</p>}
      {view && field && <ScaleBar view={view} units={props.units} />}
      <Selected selection={props.selection ?? null} onClear={() => props.onSelect?.(null)} />
      {pointed && field && (
        <div className="map-readout" style={readoutPlace(pointed, place.current)}>
          <Readout {...props} row={pointed.row} painted={painted} />
        </div>
      )}
      {isTableOpen && (
        <PointTable
          {...props}
          selection={props.selection ?? null}
          onRow={(row) => {
            setTableRow(row);
            props.onHover?.(row);
            if (row !== null && field && view)
              view.reveal(field.ground.xy_m[2 * row], field.ground.xy_m[2 * row + 1]);
          }}
          onPass={(row, how) => select(passMask(props.columns, row), how)}
          onClose={() => setTableOpen(false)}
        />
      )}
      <p className="unseen" aria-live="polite">
        {tableRow !== null ? spokenRow(props, tableRow) : ''}
      </p>
      <Emptiness life={life} state={preparing.state} field={props.columns.field} />
    </div>
  );
}

/** Sends to the map whatever has changed. */
function useDrawing(
  view: FieldMapView | null,
  place: React.RefObject<HTMLDivElement | null>,
  field: PreparedField | undefined,
  before: PreparedField | undefined,
  painted: Painted | null,
  shown_rules: readonly string[],
  props: FieldMapProps,
): void {
  const { theme, selection, timeSpan, drawAs } = props;
  useEffect(() => {
    if (!view || !field) return;
    view.setField(field.ground.frame);
    view.layer.setSides(field.content, before?.content);
  }, [view, field, before]);
  useEffect(() => {
    if (!view || !field) return;
    const fits = selection?.length === field.ground.rows ? selection : null;
    packStates(field.content.paint, field.columns, fits, timeSpan ?? null);
    if (before) packStates(before.content.paint, before.columns, null, timeSpan ?? null);
    view.layer.touch();
  }, [view, field, before, selection, timeSpan]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: colours come from the page, which the theme changes
  useEffect(() => {
    if (!view || !place.current || !painted) return;
    const colours = themeColours(place.current);
    view.setColours(colours);
    view.layer.setLook({
      ground: colours.panel,
      ghost: mixed(colours.panel, colours.ghost, GHOST_SHARE),
      ink: colours.ink,
      drawAs: drawAs ?? 'swaths',
      marks_shown: marksShown(shown_rules),
      has_selection: selection !== null && selection !== undefined,
    });
  }, [view, place, theme, drawAs, shown_rules, selection, painted]);
}

/** Shows the user's own map below the field; whom it is owed to. */
function useBaseMapLayers(view: FieldMapView | null, { baseMap, theme }: FieldMapProps): string {
  const [owedTo, setOwedTo] = useState('');
  const choice = baseMap?.problem === null ? baseMap.base_map : null;
  // biome-ignore lint/correctness/useExhaustiveDependencies: its colours are the theme's
  useEffect(() => {
    let isWanted = true;
    void view?.setBaseMap(choice).then((owed) => isWanted && setOwedTo(owed));
    return () => {
      isWanted = false;
    };
  }, [view, choice, theme]);
  return owedTo;
}

function Selected({ selection, onClear }: { selection: RowMask | null; onClear: () => void }) {
  const rows = useMemo(() => (selection ? countSelected(selection) : 0), [selection]);
  if (!selection) return null;
  return (
    <p className="map-selected" role="status">
      {rows.toLocaleString()} points selected
      <button type="button" className="plain" onClick={onClear}>
        Clear
      </button>
    </p>
  );
}

function Emptiness({
  life,
  state,
  field,
}: {
  life: ReturnType<typeof useMapView>;
  state: 'preparing' | 'nowhere' | 'ready';
  field: string;
}) {
  if (life.state === 'failed')
    return (
      <p className="map-empty">
        This map needs WebGL 2, and it could not be started here ({life.why}). The table of points still
        works.
      </p>
    );
  if (state === 'nowhere')
    return (
      <p className="map-empty">
        No point of {field} has a position, so there is no map. Check that the logs hold GPS fixes.
      </p>
    );
  return null;
}

/** A ring of metres in the field's frame as longitudes and latitudes. */
function lonLatsOf({ ground }: PreparedField, ring: readonly number[]): [number, number][] {
  return Array.from({ length: ring.length / 2 }, (_, k) =>
    lonLatFromMetres(ground.frame, ring[2 * k], ring[2 * k + 1]),
  );
}

function joined(selection: RowMask | null, mask: RowMask, how: How): RowMask | null {
  const next =
    how === 'replace' || selection?.length !== mask.length
      ? how === 'remove'
        ? selection
        : mask
      : joinMasks(selection, mask, how);
  return next && countSelected(next) > 0 ? next : null;
}

function toggled(rules: readonly string[], rule: string): readonly string[] {
  return rules.includes(rule) ? rules.filter((one) => one !== rule) : [...rules, rule];
}

function marksShown(rules: readonly string[]): number {
  return SCREENING_RULES.reduce((bits, rule, i) => (rules.includes(rule) ? bits | (1 << (i + 1)) : bits), 0);
}

/** Rows by reason; at 0 those that were kept. */
function countsOf(screened_by: Uint8Array): number[] {
  const counts = new Array<number>(SCREENING_RULES.length + 1).fill(0);
  for (const reason of screened_by) counts[reason]++;
  return counts;
}

function setCursor(view: FieldMapView | null, tool: MapTool): void {
  if (view) view.map.getCanvas().style.cursor = tool === 'pass' ? 'pointer' : 'crosshair';
}

/** Height of the longest readout, and how far off the pointer it stands. */
const READOUT_PX = { height: 318, away: 14 };

/** Beside the pointer, on the side where there is room. */
function readoutPlace(at: PointedAt, place: HTMLElement | null): React.CSSProperties {
  const width = place?.clientWidth ?? 0;
  const height = place?.clientHeight ?? 0;
  const across = at.x > width - 270 ? { right: width - at.x + 18 } : { left: at.x + 18 };
  if (at.y + READOUT_PX.away + READOUT_PX.height <= height) return { ...across, top: at.y + READOUT_PX.away };
  if (at.y >= READOUT_PX.away + READOUT_PX.height)
    return { ...across, bottom: height - at.y + READOUT_PX.away };
  return { ...across, top: Math.max(height - READOUT_PX.height, 4) };
}
