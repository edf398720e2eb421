/** The map itself, made once and told of changes: no part of it is made anew when a prop changes. */
import 'maplibre-gl/dist/maplibre-gl.css';
import { LngLat, Map as MapLibreMap, setWorkerUrl } from 'maplibre-gl';
import workerUrl from 'maplibre-gl/dist/maplibre-gl-worker.mjs?worker&url';
import type { BaseMapChoice } from '../../core/base-map.ts';
import { addLand, EMPTY_STYLE, LAND_FADES, paintLand } from './base-style.ts';
import { FieldLayer } from './field-layer.ts';
import type { Box } from './ground.ts';
import type { LocalFrame } from './local-frame.ts';
import { lonLatFromMetres, metresFromLonLat } from './local-frame.ts';
import type { ThemeColours } from './theme-colours.ts';

setWorkerUrl(workerUrl);

export interface Padding {
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
  readonly left: number;
}

/** Where the map looks, as overlays need it. */
export interface Camera {
  readonly px_per_m: number;
  /** Where the origin of the field's metres is on the screen, CSS pixels. */
  readonly origin_x: number;
  readonly origin_y: number;
  /** Counts up with every move. */
  readonly turn: number;
}

const MOST_ZOOM = 23;
/** Longest motion that the window allows itself. */
const MOTION_MS = 150;
/** Nearer than a millimetre, and no wheel turns so little. */
const SAME_PLACE_DEG = 1e-8;
const SAME_ZOOM = 1e-6;

export class FieldMapView {
  readonly map: MapLibreMap;
  readonly layer = new FieldLayer();
  #frame: LocalFrame | undefined;
  #camera: Camera = { px_per_m: 1, origin_x: 0, origin_y: 0, turn: 0 };
  #colours: ThemeColours;
  #hasLand = false;
  #hasBaseMap = false;
  #isPlaced = false;
  /** Where the last fit has led to. */
  #fitted:
    | { readonly longitude_deg: number; readonly latitude_deg: number; readonly zoom: number }
    | undefined;
  readonly #listeners = new Set<() => void>();
  readonly #refitters = new Set<() => void>();

  constructor(container: HTMLElement, colours: ThemeColours) {
    this.#colours = colours;
    this.map = new MapLibreMap({
      container,
      style: EMPTY_STYLE,
      center: [0, 20],
      zoom: 1,
      maxZoom: MOST_ZOOM,
      maxPitch: 0,
      attributionControl: false,
      dragRotate: false,
      pitchWithRotate: false,
      touchPitch: false,
      boxZoom: false,
      renderWorldCopies: false,
      fadeDuration: 0,
      canvasContextAttributes: { antialias: false, preserveDrawingBuffer: false },
    });
    this.map.touchZoomRotate.disableRotation();
    this.map.keyboard.disableRotation();
    this.map.on('move', () => this.#moved());
    this.map.on('resize', () => {
      this.#moved();
      if (this.isFitted) for (const listener of this.#refitters) listener();
    });
    this.map.on('movestart', () => this.layer.setMoving(true));
    this.map.on('moveend', () => this.layer.setMoving(false));
    // The style comes again after the graphics context was lost, without the layers that are not written down in it.
    this.map.on('style.load', () => {
      if (!this.map.getLayer(this.layer.id)) this.map.addLayer(this.layer);
    });
    this.map.on('idle', () => this.#showLand());
  }

  remove(): void {
    this.#listeners.clear();
    this.#refitters.clear();
    this.map.remove();
  }

  /** Tells when the camera has moved; returns how to stop that. */
  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };

  /** Tells when the map's size has changed while it still showed what it was fitted to. */
  readonly onResizeOfFitted = (listener: () => void): (() => void) => {
    this.#refitters.add(listener);
    return () => this.#refitters.delete(listener);
  };

  /** Whether nobody has moved the map since it was fitted. */
  get isFitted(): boolean {
    if (!this.#fitted) return false;
    const { lng, lat } = this.map.getCenter();
    const { longitude_deg, latitude_deg, zoom } = this.#fitted;
    return (
      Math.abs(lng - longitude_deg) < SAME_PLACE_DEG &&
      Math.abs(lat - latitude_deg) < SAME_PLACE_DEG &&
      Math.abs(this.map.getZoom() - zoom) < SAME_ZOOM
    );
  }

  readonly camera = (): Camera => this.#camera;

  /** The frame of the field that is shown; `undefined` when it has no place: then the world is. */
  setField(frame: LocalFrame | undefined): void {
    this.#frame = frame;
    this.#isPlaced = true;
    this.#moved();
    this.map.triggerRepaint();
  }

  setColours(colours: ThemeColours): void {
    this.#colours = colours;
    paintLand(this.map, colours);
  }

  /** The user's own map below the field, none where it is null; whom it is owed to. Kept off until it is asked for. */
  async setBaseMap(choice: BaseMapChoice | null): Promise<string> {
    if (choice === null && !this.#hasBaseMap) return '';
    this.#hasBaseMap = true;
    const { showBaseMap } = await import('./base-map-layers.ts');
    if (!this.map.getLayer(this.layer.id)) await this.map.once('idle');
    return showBaseMap(this.map, choice, this.#colours, this.layer.id).catch(() => '');
  }

  /** Shows the whole field, boundary included. */
  fit(box: Box, padding: Padding, how: 'at_once' | 'gently'): void {
    if (!this.#frame) return;
    const west = lonLatFromMetres(this.#frame, box.east0, box.north0);
    const east = lonLatFromMetres(this.#frame, box.east1, box.north1);
    const isStill = how === 'at_once' || matchMedia('(prefers-reduced-motion: reduce)').matches;
    const camera = this.map.cameraForBounds([west, east], {
      padding: withinCanvas(padding, this.map.getContainer()),
      maxZoom: MOST_ZOOM - 2,
    });
    if (!camera?.center || camera.zoom === undefined) return;
    const { lng, lat } = LngLat.convert(camera.center);
    this.#fitted = { longitude_deg: lng, latitude_deg: lat, zoom: camera.zoom };
    if (isStill) this.map.jumpTo(camera);
    else this.map.easeTo({ ...camera, duration: MOTION_MS });
  }

  /** Metres in the field's frame of a place on the screen, CSS pixels from the map's upper left corner. */
  metresAt(x: number, y: number): [east_m: number, north_m: number] | undefined {
    if (!this.#frame) return undefined;
    const { lng, lat } = this.map.unproject([x, y]);
    return metresFromLonLat(this.#frame, lng, lat);
  }

  pixelsAt(east_m: number, north_m: number): [x: number, y: number] {
    if (!this.#frame) return [0, 0];
    const { x, y } = this.map.project(lonLatFromMetres(this.#frame, east_m, north_m));
    return [x, y];
  }

  /** Brings a place into view where it is not. */
  reveal(east_m: number, north_m: number): void {
    if (!this.#frame) return;
    const [x, y] = this.pixelsAt(east_m, north_m);
    const { clientWidth, clientHeight } = this.map.getContainer();
    const margin = 24;
    if (x > margin && y > margin && x < clientWidth - margin && y < clientHeight - margin) return;
    this.map.jumpTo({ center: lonLatFromMetres(this.#frame, east_m, north_m) });
  }

  #moved(): void {
    const scale = this.#frame ? (512 * 2 ** this.map.getZoom()) / this.#frame.east_m_per_mercator : 1;
    const [origin_x, origin_y] = this.pixelsAt(0, 0);
    this.#camera = { px_per_m: scale, origin_x, origin_y, turn: this.#camera.turn + 1 };
    for (const listener of this.#listeners) listener();
  }

  /** The first time that so little is zoomed in that coasts mean something. */
  #showLand(): void {
    if (
      this.#hasLand ||
      !this.#isPlaced ||
      this.map.getZoom() > LAND_FADES.to ||
      !this.map.getLayer(this.layer.id)
    )
      return;
    this.#hasLand = true;
    void addLand(this.map, this.#colours, this.layer.id);
  }
}

/** Padding that leaves at least half of a small map to the field. */
function withinCanvas(padding: Padding, { clientWidth, clientHeight }: HTMLElement): Padding {
  const across = Math.min(1, clientWidth / 2 / Math.max(padding.left + padding.right, 1));
  const up = Math.min(1, clientHeight / 2 / Math.max(padding.top + padding.bottom, 1));
  return {
    top: padding.top * up,
    bottom: padding.bottom * up,
    left: padding.left * across,
    right: padding.right * across,
  };
}
