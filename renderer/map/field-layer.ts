/** The map layer of a field: draws its states with WebGL 2 in the map's own context. */
import type { CustomLayerInterface, CustomRenderMethodInput, Map as MapLibreMap } from 'maplibre-gl';
import {
  DOT_FRAGMENT,
  DOT_VERTEX,
  MARK_FRAGMENT,
  MARK_VERTEX,
  PICTURE_FRAGMENT,
  PICTURE_VERTEX,
  SWATH_FRAGMENT,
  SWATH_VERTEX,
} from './field-shaders.ts';
import { FieldSide, pointRows, type SideContent } from './field-side.ts';
import { type GlProgram, glProgram } from './gl-program.ts';
import { frameMatrix } from './local-frame.ts';
import type { Rgb } from './ramps.ts';
import { runsWithin } from './row-blocks.ts';
import { levelShown } from './screened-marks.ts';
import { boundsOf, SwathCache } from './swath-cache.ts';

export const RAMP_TEXELS = 256;
/** Half of the least side of a swath on the screen, device pixels: a thinner one would sparkle. */
const LEAST_HALF_PX = 0.6;
const MARK_PX = 13;
/** Fields with more rows are moved as a picture, and drawn when the map comes to rest. */
const MOST_DIRECT_ROWS = 25_000;
/** Rows drawn in a moving split view, which has no picture; with more, every n-th is drawn, stretched over its neighbours. */
const MOST_MOVING_ROWS = 60_000;

export interface LayerLook {
  readonly ground: Rgb;
  readonly ghost: Rgb;
  readonly ink: Rgb;
  readonly drawAs: 'swaths' | 'points';
  /** Bit n: marks of rows with `screened_by` n are drawn. */
  readonly marks_shown: number;
  readonly has_selection: boolean;
}

/** Where a side is drawn in a frame. */
interface Place {
  readonly matrix: Float32Array;
  readonly px_per_m: number;
  /** Device pixels a CSS pixel. */
  readonly ratio: number;
}

export class FieldLayer implements CustomLayerInterface {
  readonly id = 'field';
  readonly type = 'custom';
  readonly renderingMode = '2d';
  #map: MapLibreMap | undefined;
  #gl: WebGL2RenderingContext | undefined;
  #programs: { swaths: GlProgram; dots: GlProgram; marks: GlProgram; picture: GlProgram } | undefined;
  #cache: SwathCache | undefined;
  /** Of the side in the cache. */
  #cached: FieldSide | undefined;
  #ramp: WebGLTexture | null = null;
  #texels = new Uint8Array(4 * RAMP_TEXELS);
  #isRampStale = true;
  #after: FieldSide | undefined;
  #before: FieldSide | undefined;
  #look: LayerLook | undefined;
  /** Share of the map's width left of the dividing line. */
  #divide = 0.5;
  #isMoving = false;
  #released: FieldSide[] = [];

  /** What is drawn; with an earlier state, that is left of the dividing line and `after` right of it. */
  setSides(after: SideContent | undefined, before: SideContent | undefined): void {
    this.#after = this.#replaced(this.#after, after);
    this.#before = this.#replaced(this.#before, before);
  }

  /** The paint of the sides was rewritten in place. */
  touch(): void {
    this.#after?.touch();
    this.#before?.touch();
    this.#cache?.touch();
    this.repaint();
  }

  setLook(look: LayerLook): void {
    this.#look = look;
    this.#cache?.touch();
    this.repaint();
  }

  setRamp(texels: Uint8Array): void {
    this.#texels = Uint8Array.from(texels);
    this.#isRampStale = true;
    this.#cache?.touch();
    this.repaint();
  }

  setDivide(share: number): void {
    this.#divide = share;
    this.repaint();
  }

  /** While the map moves, less is drawn of very large fields. */
  setMoving(isMoving: boolean): void {
    this.#isMoving = isMoving;
    if (!isMoving) this.repaint();
  }

  repaint(): void {
    this.#map?.triggerRepaint();
  }

  onAdd(map: MapLibreMap, gl: WebGL2RenderingContext): void {
    this.#map = map;
    this.#gl = gl;
    this.#programs = {
      swaths: glProgram(gl, SWATH_VERTEX, SWATH_FRAGMENT),
      dots: glProgram(gl, DOT_VERTEX, DOT_FRAGMENT),
      marks: glProgram(gl, MARK_VERTEX, MARK_FRAGMENT),
      picture: glProgram(gl, PICTURE_VERTEX, PICTURE_FRAGMENT),
    };
    this.#ramp = gl.createTexture();
    this.#cache = new SwathCache(gl);
    this.#isRampStale = true;
    this.#after?.forget();
    this.#before?.forget();
    this.#released = [];
  }

  onRemove(_map: MapLibreMap, gl: WebGL2RenderingContext): void {
    this.#after?.release(gl);
    this.#before?.release(gl);
    if (this.#programs) for (const { program } of Object.values(this.#programs)) gl.deleteProgram(program);
    gl.deleteTexture(this.#ramp);
    this.#cache?.release();
    this.#map = undefined;
    this.#gl = undefined;
    this.#programs = undefined;
  }

  /** Draws the picture of a large field, where that must be done anew. */
  prerender(gl: WebGL2RenderingContext, input: CustomRenderMethodInput): void {
    for (const side of this.#released.splice(0)) side.release(gl);
    const side = this.#after;
    if (!side || !this.#cache || !this.#isPictured() || !this.#isReady()) return;
    if (side !== this.#cached) this.#cache.touch();
    this.#cached = side;
    const place = this.#placeOf(side, input);
    const now_ms = performance.now();
    if (!this.#cache.mustDraw(place.matrix, this.#isMoving ? 'moving' : 'at_rest', now_ms)) return;
    this.#sendRamp(gl);
    this.#cache.draw(place.matrix, now_ms, (matrix) => this.#drawRows(gl, side, { ...place, matrix }, 1));
    gl.bindVertexArray(null);
  }

  render(gl: WebGL2RenderingContext, input: CustomRenderMethodInput): void {
    if (!this.#after || !this.#map || !this.#look) return;
    if (!this.#isReady()) {
      this.#map.triggerRepaint();
      return;
    }
    this.#sendRamp(gl);
    if (this.#before) {
      const { width, height } = gl.canvas;
      const divide = Math.round(width * this.#divide);
      gl.enable(gl.SCISSOR_TEST);
      gl.scissor(0, 0, divide, height);
      this.#drawSide(gl, input, this.#before);
      gl.scissor(divide, 0, width - divide, height);
      this.#drawSide(gl, input, this.#after);
      gl.disable(gl.SCISSOR_TEST);
    } else this.#drawSide(gl, input, this.#after);
    gl.bindVertexArray(null);
  }

  #isPictured(): boolean {
    return !this.#before && (this.#after?.content.ground.rows ?? 0) > MOST_DIRECT_ROWS;
  }

  #isReady(): boolean {
    if (!this.#programs || !this.#look) return false;
    const { swaths, dots, marks, picture } = this.#programs;
    return [this.#look.drawAs === 'swaths' ? swaths : dots, marks, picture].every((program) =>
      program.isReady(),
    );
  }

  #placeOf(side: FieldSide, input: CustomRenderMethodInput): Place {
    const { frame } = side.content.ground;
    const zoom = this.#map?.getZoom() ?? 0;
    return {
      matrix: frameMatrix(frame, input.defaultProjectionData.mainMatrix),
      px_per_m: (512 * 2 ** zoom) / frame.east_m_per_mercator,
      ratio: this.#map?.getPixelRatio() ?? 1,
    };
  }

  #drawSide(gl: WebGL2RenderingContext, input: CustomRenderMethodInput, side: FieldSide): void {
    const { rows } = side.content.ground;
    if (rows === 0) return;
    const place = this.#placeOf(side, input);
    if (this.#isPictured()) this.#drawPicture(gl, place);
    else this.#drawRows(gl, side, place, this.#isMoving ? Math.ceil(rows / MOST_MOVING_ROWS) : 1);
    this.#drawMarks(gl, side, place);
  }

  #drawPicture(gl: WebGL2RenderingContext, { matrix }: Place): void {
    const corners = this.#cache?.corners();
    if (!this.#programs || !this.#cache || !corners) return;
    const { picture } = this.#programs;
    setPlain(gl);
    gl.enable(gl.BLEND);
    gl.blendFunc(gl.ONE, gl.ONE_MINUS_SRC_ALPHA);
    picture.begin();
    gl.uniformMatrix4fv(picture.at('u_matrix'), false, matrix);
    gl.uniform4f(picture.at('u_corners'), ...corners);
    gl.activeTexture(gl.TEXTURE0);
    gl.bindTexture(gl.TEXTURE_2D, this.#cache.texture);
    gl.uniform1i(picture.at('u_picture'), 0);
    gl.bindVertexArray(null);
    gl.drawArrays(gl.TRIANGLE_STRIP, 0, 4);
  }

  /** Every `step`-th row, as swaths or dots. */
  #drawRows(gl: WebGL2RenderingContext, side: FieldSide, place: Place, step: number): void {
    if (!this.#programs || !this.#look) return;
    const look = this.#look;
    const { px_per_m, ratio } = place;
    const onGpu = side.ready(gl);
    setPlain(gl);
    const program = look.drawAs === 'swaths' ? this.#programs.swaths : this.#programs.dots;
    program.begin();
    gl.uniformMatrix4fv(program.at('u_matrix'), false, place.matrix);
    gl.activeTexture(gl.TEXTURE0);
    gl.bindTexture(gl.TEXTURE_2D, this.#ramp);
    gl.uniform1i(program.at('u_ramp'), 0);
    gl.uniform3fv(program.at('u_ground'), unit(look.ground));
    gl.uniform3fv(program.at('u_ghost'), unit(look.ghost));
    gl.uniform1i(program.at('u_has_selection'), look.has_selection ? 1 : 0);
    gl.bindVertexArray(look.drawAs === 'swaths' ? onGpu.swaths : onGpu.dots);
    if (look.drawAs === 'swaths') {
      gl.uniform1f(program.at('u_least_half_m'), LEAST_HALF_PX / (px_per_m * ratio));
      gl.uniform1f(program.at('u_stretch'), step);
    } else gl.uniform1f(program.at('u_size_px'), dotSize(px_per_m) * ratio);
    for (const { first, count } of runsWithin(
      side.boxes,
      side.content.ground.rows,
      boundsOf(place.matrix, 1),
    )) {
      pointRows(gl, onGpu.buffers[0], onGpu.paint, step, first);
      const rows = Math.floor(count / step);
      if (look.drawAs === 'swaths') gl.drawArraysInstanced(gl.TRIANGLE_STRIP, 0, 4, rows);
      else gl.drawArrays(gl.POINTS, 0, rows);
    }
  }

  #drawMarks(gl: WebGL2RenderingContext, side: FieldSide, { matrix, px_per_m, ratio }: Place): void {
    const { count } = side.content.marks;
    if (!this.#programs || !this.#look || count === 0 || this.#look.marks_shown === 0) return;
    const { marks } = this.#programs;
    const onGpu = side.ready(gl);
    setPlain(gl);
    gl.enable(gl.BLEND);
    gl.blendFunc(gl.ONE, gl.ONE_MINUS_SRC_ALPHA);
    marks.begin();
    gl.uniformMatrix4fv(marks.at('u_matrix'), false, matrix);
    gl.uniform1f(marks.at('u_size_px'), MARK_PX * ratio);
    gl.uniform1ui(marks.at('u_shown'), this.#look.marks_shown);
    gl.uniform1ui(marks.at('u_least_level'), levelShown(px_per_m));
    gl.uniform3fv(marks.at('u_ink'), unit(this.#look.ink));
    gl.uniform3fv(marks.at('u_ground'), unit(this.#look.ground));
    gl.bindVertexArray(onGpu.marks);
    gl.drawArrays(gl.POINTS, 0, count);
  }

  #sendRamp(gl: WebGL2RenderingContext): void {
    if (!this.#isRampStale) return;
    gl.bindTexture(gl.TEXTURE_2D, this.#ramp);
    gl.pixelStorei(gl.UNPACK_FLIP_Y_WEBGL, false);
    gl.pixelStorei(gl.UNPACK_PREMULTIPLY_ALPHA_WEBGL, false);
    gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA, RAMP_TEXELS, 1, 0, gl.RGBA, gl.UNSIGNED_BYTE, this.#texels);
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.NEAREST);
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, gl.NEAREST);
    this.#isRampStale = false;
  }

  #replaced(old: FieldSide | undefined, content: SideContent | undefined): FieldSide | undefined {
    if (old && old.content === content) return old;
    if (old && this.#gl) this.#released.push(old);
    this.repaint();
    return content ? new FieldSide(content) : undefined;
  }
}

/** Nothing of what the map drew before stands in the way. */
function setPlain(gl: WebGL2RenderingContext): void {
  gl.disable(gl.DEPTH_TEST);
  gl.disable(gl.STENCIL_TEST);
  gl.disable(gl.CULL_FACE);
  gl.disable(gl.BLEND);
}

/** Diameter of a row's dot, CSS pixels, at a zoom. */
export function dotSize(px_per_m: number): number {
  return Math.min(Math.max(2.4 * px_per_m, 3.5), 12);
}

function unit(rgb: Rgb): Float32Array {
  return Float32Array.of(rgb[0] / 255, rgb[1] / 255, rgb[2] / 255);
}
