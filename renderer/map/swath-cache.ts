/**
 * A picture of a large field's swaths, somewhat larger than the screen, for the time that the map moves: a frame then
 * costs one rectangle and not half a million. It is drawn anew when the map has come to rest, when what it shows has
 * changed, and now and then when the map has moved off it.
 */

import type { Bounds } from './row-blocks.ts';

/** Room around the screen, as a share of its size on each side. */
const MARGIN = 0.25;
/** Pictures while the map moves are at least this far apart, ms. */
const LEAST_AGE_MS = 350;
/** Times that a texel may be smaller or larger than a pixel before the picture is drawn anew on the move. */
const MOST_ZOOM = 2.2;

export class SwathCache {
  readonly texture: WebGLTexture;
  readonly #frame: WebGLFramebuffer;
  readonly #gl: WebGL2RenderingContext;
  #bounds: Bounds | undefined;
  /** With which it was drawn, for the screen itself. */
  #matrix: Float32Array = new Float32Array(16);
  #size = [0, 0];
  #drawn_ms = 0;
  #isStale = true;

  constructor(gl: WebGL2RenderingContext) {
    this.#gl = gl;
    this.texture = gl.createTexture();
    this.#frame = gl.createFramebuffer();
  }

  /** What it shows has changed. */
  touch(): void {
    this.#isStale = true;
  }

  /** Corners for the rectangle that shows it: west, south, east, north, m. */
  corners(): readonly [number, number, number, number] | undefined {
    const bounds = this.#bounds;
    return bounds && [bounds.west, bounds.south, bounds.east, bounds.north];
  }

  /** Whether it must be drawn anew before this frame. `matrix`: from metres to the screen's clip space. */
  mustDraw(matrix: Float32Array, how: 'moving' | 'at_rest', now_ms: number): boolean {
    if (this.#isStale || !this.#bounds) return true;
    if (how === 'at_rest') return matrix.some((number, i) => number !== this.#matrix[i]) || this.#isResized();
    if (now_ms - this.#drawn_ms < LEAST_AGE_MS) return false;
    const zoom = this.#matrix[0] / this.#matrix[15] / (matrix[0] / matrix[15]);
    return zoom > MOST_ZOOM || zoom < 1 / MOST_ZOOM || this.#isOff(boundsOf(matrix, 1));
  }

  /** Draws into it: `draw` is given the matrix that it must draw with. */
  draw(matrix: Float32Array, now_ms: number, draw: (matrix: Float32Array) => void): void {
    const gl = this.#gl;
    const size = [wider(gl.drawingBufferWidth), wider(gl.drawingBufferHeight)];
    const scale = [size[0] / gl.drawingBufferWidth, size[1] / gl.drawingBufferHeight];
    gl.bindTexture(gl.TEXTURE_2D, this.texture);
    if (size[0] !== this.#size[0] || size[1] !== this.#size[1]) {
      gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA, size[0], size[1], 0, gl.RGBA, gl.UNSIGNED_BYTE, null);
      for (const [name, setting] of [
        [gl.TEXTURE_MIN_FILTER, gl.LINEAR],
        [gl.TEXTURE_MAG_FILTER, gl.LINEAR],
        [gl.TEXTURE_WRAP_S, gl.CLAMP_TO_EDGE],
        [gl.TEXTURE_WRAP_T, gl.CLAMP_TO_EDGE],
      ])
        gl.texParameteri(gl.TEXTURE_2D, name, setting);
      this.#size = size;
    }
    gl.bindFramebuffer(gl.FRAMEBUFFER, this.#frame);
    gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, this.texture, 0);
    gl.viewport(0, 0, size[0], size[1]);
    gl.disable(gl.SCISSOR_TEST);
    gl.colorMask(true, true, true, true);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT);
    draw(matrix.map((number, i) => (i % 4 < 2 ? number / scale[i % 4] : number)));
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
    const { west, east } = boundsOf(matrix, scale[0]);
    const { south, north } = boundsOf(matrix, scale[1]);
    this.#bounds = { west, east, south, north };
    this.#drawn_ms = now_ms;
    this.#matrix = matrix;
    this.#isStale = false;
  }

  release(): void {
    this.#gl.deleteTexture(this.texture);
    this.#gl.deleteFramebuffer(this.#frame);
  }

  #isResized(): boolean {
    return (
      this.#size[0] !== wider(this.#gl.drawingBufferWidth) ||
      this.#size[1] !== wider(this.#gl.drawingBufferHeight)
    );
  }

  #isOff({ west, east, south, north }: Bounds): boolean {
    const own = this.#bounds;
    const slack = own ? 1e-3 * (own.east - own.west) : 0;
    return (
      !own ||
      west < own.west - slack ||
      east > own.east + slack ||
      south < own.south - slack ||
      north > own.north + slack
    );
  }
}

/** Side of the picture over a side of the screen: whole pixels on both ends, so that texels and pixels coincide at rest. */
function wider(side_px: number): number {
  return side_px + 2 * Math.round(side_px * MARGIN);
}

/** Ground that lies within ±`reach` of clip space, looked at from straight above with north up. */
export function boundsOf(matrix: Float32Array, reach: number): Bounds {
  const [x, y, w] = [matrix[12], matrix[13], matrix[15]];
  return {
    west: (-reach * w - x) / matrix[0],
    east: (reach * w - x) / matrix[0],
    south: (-reach * w - y) / matrix[5],
    north: (reach * w - y) / matrix[5],
  };
}
