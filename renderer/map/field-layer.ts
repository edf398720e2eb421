/** The map layer of a field: draws its states with WebGL 2 in the map's own context. */
import type { CustomLayerInterface, CustomRenderMethodInput, Map as MapLibreMap } from 'maplibre-gl';
import {
  DOT_FRAGMENT,
  DOT_VERTEX,
  MARK_FRAGMENT,
  MARK_VERTEX,
  SWATH_FRAGMENT,
  SWATH_VERTEX,
} from './field-shaders.ts';
import { FieldSide, type OnGpu, pointRows, type SideContent } from './field-side.ts';
import { type GlProgram, glProgram } from './gl-program.ts';
import { frameMatrix } from './local-frame.ts';
import type { Rgb } from './ramps.ts';
import { levelShown } from './screened-marks.ts';

export const RAMP_TEXELS = 256;
/** Half of the least side of a swath on the screen, device pixels: a thinner one would sparkle. */
const LEAST_HALF_PX = 0.6;
const MARK_PX = 13;
/** Rows drawn while the map moves; with more, every n-th is drawn, stretched over its neighbours. */
const MOST_MOVING_ROWS = 150_000;

export interface LayerLook {
  readonly ground: Rgb;
  readonly ghost: Rgb;
  readonly ink: Rgb;
  readonly drawAs: 'swaths' | 'points';
  /** Bit n: marks of rows with `screened_by` n are drawn. */
  readonly marks_shown: number;
  readonly has_selection: boolean;
}

export class FieldLayer implements CustomLayerInterface {
  readonly id = 'field';
  readonly type = 'custom';
  readonly renderingMode = '2d';
  #map: MapLibreMap | undefined;
  #gl: WebGL2RenderingContext | undefined;
  #programs: { swaths: GlProgram; dots: GlProgram; marks: GlProgram } | undefined;
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
    this.repaint();
  }

  setLook(look: LayerLook): void {
    this.#look = look;
    this.repaint();
  }

  setRamp(texels: Uint8Array): void {
    this.#texels = Uint8Array.from(texels);
    this.#isRampStale = true;
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
    };
    this.#ramp = gl.createTexture();
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
    this.#map = undefined;
    this.#gl = undefined;
    this.#programs = undefined;
  }

  render(gl: WebGL2RenderingContext, input: CustomRenderMethodInput): void {
    for (const side of this.#released.splice(0)) side.release(gl);
    if (!this.#after || !this.#look || !this.#map || !this.#programs) return;
    const { swaths, dots, marks } = this.#programs;
    if (![this.#look.drawAs === 'swaths' ? swaths : dots, marks].every((program) => program.isReady())) {
      this.#map.triggerRepaint();
      return;
    }
    this.#sendRamp(gl);
    if (!this.#before) {
      this.#draw(gl, input, this.#after);
    } else {
      const { width, height } = gl.canvas;
      const divide = Math.round(width * this.#divide);
      gl.enable(gl.SCISSOR_TEST);
      gl.scissor(0, 0, divide, height);
      this.#draw(gl, input, this.#before);
      gl.scissor(divide, 0, width - divide, height);
      this.#draw(gl, input, this.#after);
      gl.disable(gl.SCISSOR_TEST);
    }
    gl.bindVertexArray(null);
  }

  #draw(gl: WebGL2RenderingContext, input: CustomRenderMethodInput, side: FieldSide): void {
    const { programs, look, map } = { programs: this.#programs, look: this.#look, map: this.#map };
    if (!programs || !look || !map) return;
    const { ground, marks } = side.content;
    if (ground.rows === 0) return;
    const onGpu = side.ready(gl);
    const matrix = frameMatrix(ground.frame, input.defaultProjectionData.mainMatrix);
    const px_per_m = (512 * 2 ** map.getZoom()) / ground.frame.east_m_per_mercator;
    const ratio = map.getPixelRatio();
    gl.disable(gl.DEPTH_TEST);
    gl.disable(gl.STENCIL_TEST);
    gl.disable(gl.CULL_FACE);
    gl.disable(gl.BLEND);
    const program = look.drawAs === 'swaths' ? programs.swaths : programs.dots;
    program.begin();
    gl.uniformMatrix4fv(program.at('u_matrix'), false, matrix);
    gl.activeTexture(gl.TEXTURE0);
    gl.bindTexture(gl.TEXTURE_2D, this.#ramp);
    gl.uniform1i(program.at('u_ramp'), 0);
    gl.uniform3fv(program.at('u_ground'), unit(look.ground));
    gl.uniform3fv(program.at('u_ghost'), unit(look.ghost));
    gl.uniform1i(program.at('u_has_selection'), look.has_selection ? 1 : 0);
    const step = this.#isMoving ? Math.ceil(ground.rows / MOST_MOVING_ROWS) : 1;
    const rows = Math.floor(ground.rows / step);
    if (look.drawAs === 'swaths') {
      gl.uniform1f(program.at('u_least_half_m'), LEAST_HALF_PX / (px_per_m * ratio));
      gl.uniform1f(program.at('u_stretch'), step);
      gl.bindVertexArray(onGpu.swaths);
      pointRows(gl, onGpu.buffers[0], onGpu.paint, step);
      gl.drawArraysInstanced(gl.TRIANGLE_STRIP, 0, 4, rows);
    } else {
      gl.uniform1f(program.at('u_size_px'), dotSize(px_per_m) * ratio);
      gl.bindVertexArray(onGpu.dots);
      pointRows(gl, onGpu.buffers[0], onGpu.paint, step);
      gl.drawArrays(gl.POINTS, 0, rows);
    }
    if (marks.count > 0 && look.marks_shown !== 0)
      this.#drawMarks(gl, programs.marks, onGpu, { matrix, px_per_m, ratio, count: marks.count, look });
  }

  #drawMarks(
    gl: WebGL2RenderingContext,
    program: GlProgram,
    onGpu: OnGpu,
    how: {
      readonly matrix: Float32Array;
      readonly px_per_m: number;
      readonly ratio: number;
      readonly count: number;
      readonly look: LayerLook;
    },
  ): void {
    gl.enable(gl.BLEND);
    gl.blendFunc(gl.ONE, gl.ONE_MINUS_SRC_ALPHA);
    program.begin();
    gl.uniformMatrix4fv(program.at('u_matrix'), false, how.matrix);
    gl.uniform1f(program.at('u_size_px'), MARK_PX * how.ratio);
    gl.uniform1ui(program.at('u_shown'), how.look.marks_shown);
    gl.uniform1ui(program.at('u_least_level'), levelShown(how.px_per_m));
    gl.uniform3fv(program.at('u_ink'), unit(how.look.ink));
    gl.uniform3fv(program.at('u_ground'), unit(how.look.ground));
    gl.bindVertexArray(onGpu.marks);
    gl.drawArrays(gl.POINTS, 0, how.count);
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

/** Diameter of a row's dot, CSS pixels, at a zoom. */
export function dotSize(px_per_m: number): number {
  return Math.min(Math.max(1.6 * px_per_m, 2.5), 12);
}

function unit(rgb: Rgb): Float32Array {
  return Float32Array.of(rgb[0] / 255, rgb[1] / 255, rgb[2] / 255);
}
