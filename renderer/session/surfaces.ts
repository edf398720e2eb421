/** The surface of the field on the map: asked of the host while its stage is open, and shown as the map shows points. */
import { useEffect, useSyncExternalStore } from 'react';
import type { ColumnBlock } from '../../core/column-wire.ts';
import type { FieldPoints } from '../../core/result.ts';
import type { CellGrid } from '../../core/surface/cell-grid.ts';
import type { SurfaceCorners, SurfaceReply } from '../../core/surface/surface-details.ts';
import { HostTrouble } from '../host-client/host-client.ts';
import type { Session } from './session.ts';
import { fieldIndexOf } from './session-state.ts';
import { useSession, useSessionState } from './use-session.ts';

export interface ShownSurface {
  readonly build: string;
  readonly field: string;
  readonly cell_m: number;
  readonly details: SurfaceReply;
  readonly grid: CellGrid;
  /** Place of each row in the grid. */
  readonly cells: Int32Array;
  readonly corners: SurfaceCorners | null;
  /** One row a cell: its middle, its side as length and width, its yield and standard error; the rest absent. */
  readonly columns: FieldPoints;
}

export interface SurfaceState {
  /** The last one that came, also while another is being made. */
  readonly surface: ShownSurface | null;
  readonly isMaking: boolean;
  /** Why there is none. */
  readonly trouble: string | null;
  /** Whether the lines of the zones are on the map. */
  readonly isZoned: boolean;
}

const NONE: SurfaceState = { surface: null, isMaking: false, trouble: null, isZoned: false };

class Surfaces {
  readonly #session: Session;
  readonly #listeners = new Set<() => void>();
  #state: SurfaceState = NONE;
  /** Build and field that were asked for last. */
  #asked = '';

  constructor(session: Session) {
    this.#session = session;
  }

  get state(): SurfaceState {
    return this.#state;
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };

  async show(season: string, build: string, place: number): Promise<void> {
    const asked = `${season} ${build} ${place}`;
    if (asked === this.#asked) return;
    this.#asked = asked;
    this.#set({ ...this.#state, isMaking: true, trouble: null });
    try {
      const block = await this.#session.host.readSurface(season, build, place);
      if (asked === this.#asked)
        this.#set({ ...this.#state, surface: surfaceFrom(block, build), isMaking: false });
    } catch (caught) {
      if (!(caught instanceof HostTrouble)) throw caught;
      const trouble = caught.reply.text;
      if (asked === this.#asked) this.#set({ ...this.#state, surface: null, isMaking: false, trouble });
    }
  }

  showZones(isZoned: boolean): void {
    this.#set({ ...this.#state, isZoned });
  }

  #set(state: SurfaceState): void {
    this.#state = state;
    for (const listener of this.#listeners) listener();
  }
}

const OF_SESSION = new WeakMap<Session, Surfaces>();

export function surfacesOf(session: Session): Surfaces {
  const known = OF_SESSION.get(session) ?? new Surfaces(session);
  OF_SESSION.set(session, known);
  return known;
}

/** The surface of the field on the map while the stage Surface is open; it is made when it is not there. */
export function useSurface(): SurfaceState {
  const session = useSession();
  const state = useSessionState();
  const surfaces = surfacesOf(session);
  const found = useSyncExternalStore(surfaces.subscribe, () => surfaces.state);
  const season = state.season?.season;
  const build = state.built?.reply.build;
  const place = fieldIndexOf(state);
  const isOpen = state.view.stage === 'surface';
  useEffect(() => {
    if (isOpen && season !== undefined && build !== undefined && place >= 0)
      void surfaces.show(season, build, place);
  }, [surfaces, isOpen, season, build, place]);
  const field = state.built?.reply.points[place]?.field;
  if (!isOpen) return NONE;
  return found.surface !== null && found.surface.field !== field ? { ...found, surface: null } : found;
}

function surfaceFrom({ about, rows, columns }: ColumnBlock, build: string): ShownSurface {
  const cell_m = Number(about.cell_m);
  const column = (name: string) => Float64Array.from(columns.get(name) ?? new Float64Array(rows));
  const absent = new Float64Array(rows).fill(Number.NaN);
  const side_m = new Float64Array(rows).fill(cell_m);
  const field = String(about.field);
  const cells = columns.get('cell');
  const grid: CellGrid = {
    west_m: Number(about.west_m),
    south_m: Number(about.south_m),
    cell_m,
    columns: Number(about.columns),
    rows: Number(about.rows),
  };
  return {
    build,
    field,
    cell_m,
    grid,
    cells: cells instanceof Int32Array ? cells : new Int32Array(rows),
    corners: JSON.parse(String(about.corners)),
    details: JSON.parse(String(about.details)),
    columns: {
      field,
      crop: String(about.crop),
      t_s: absent,
      machine: new Int32Array(rows).fill(-1),
      pass: new Int32Array(rows).fill(-1),
      load: new Int32Array(rows).fill(-1),
      longitude_deg: column('longitude_deg'),
      latitude_deg: column('latitude_deg'),
      east_m: absent,
      north_m: absent,
      heading_rad: new Float64Array(rows),
      speed_m_s: absent,
      distance_m: side_m,
      duration_s: absent,
      cut_width_m: side_m,
      width_se_m: absent,
      fresh_area_m2: new Float64Array(rows).fill(cell_m ** 2),
      mass_kg: absent,
      mass_flow_kg_s: absent,
      volume_flow_m3_s: absent,
      moisture_pct: absent,
      yield_kg_m2: column('yield_kg_m2'),
      yield_se_kg_m2: column('yield_se_kg_m2'),
      screened_by: new Uint8Array(rows),
    },
  };
}
