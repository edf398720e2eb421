/** One state of a field on the GPU: its buffers, sent when they have changed. */
import type { Ground } from './ground.ts';
import { blockBoxes } from './row-blocks.ts';
import type { ScreenedMarks } from './screened-marks.ts';
import { MARK_BYTES } from './screened-marks.ts';
import { PAINT_BYTES, SHAPE_BYTES } from './swath-buffers.ts';

/** What is drawn of one state. `paint` is written in place; `touch` says so. */
export interface SideContent {
  readonly ground: Ground;
  readonly shapes: ArrayBuffer;
  readonly paint: ArrayBuffer;
  readonly marks: ScreenedMarks;
}

export class FieldSide {
  readonly content: SideContent;
  /** From `blockBoxes`. */
  readonly boxes: Float32Array;
  #isPaintStale = true;
  #onGpu: OnGpu | undefined;

  constructor(content: SideContent) {
    this.content = content;
    this.boxes = blockBoxes(content.ground);
  }

  /** The paint was rewritten. */
  touch(): void {
    this.#isPaintStale = true;
  }

  /** Buffers ready to draw from. */
  ready(gl: WebGL2RenderingContext): OnGpu {
    if (!this.#onGpu) this.#onGpu = sent(gl, this.content);
    if (this.#isPaintStale) {
      gl.bindBuffer(gl.ARRAY_BUFFER, this.#onGpu.paint);
      gl.bufferSubData(gl.ARRAY_BUFFER, 0, this.content.paint);
      this.#isPaintStale = false;
    }
    return this.#onGpu;
  }

  /** Frees what is on the GPU; a later `ready` sends it again. */
  release(gl: WebGL2RenderingContext): void {
    if (!this.#onGpu) return;
    for (const array of [this.#onGpu.swaths, this.#onGpu.dots, this.#onGpu.marks])
      gl.deleteVertexArray(array);
    for (const buffer of this.#onGpu.buffers) gl.deleteBuffer(buffer);
    this.forget();
  }

  /** The context was lost, and all buffers with it. */
  forget(): void {
    this.#onGpu = undefined;
    this.#isPaintStale = true;
  }
}

export interface OnGpu {
  readonly paint: WebGLBuffer;
  readonly swaths: WebGLVertexArrayObject;
  readonly dots: WebGLVertexArrayObject;
  readonly marks: WebGLVertexArrayObject;
  readonly buffers: readonly WebGLBuffer[];
}

function sent(gl: WebGL2RenderingContext, content: SideContent): OnGpu {
  const shapes = bufferOf(gl, content.shapes, gl.STATIC_DRAW);
  const paint = bufferOf(gl, content.paint, gl.DYNAMIC_DRAW);
  const marked = bufferOf(gl, content.marks.buffer, gl.STATIC_DRAW);
  const swaths = gl.createVertexArray();
  gl.bindVertexArray(swaths);
  layRows(gl, shapes, paint, 1);
  const dots = gl.createVertexArray();
  gl.bindVertexArray(dots);
  layRows(gl, shapes, paint, 0);
  const marks = gl.createVertexArray();
  gl.bindVertexArray(marks);
  gl.bindBuffer(gl.ARRAY_BUFFER, marked);
  for (const location of [0, 1]) gl.enableVertexAttribArray(location);
  gl.vertexAttribPointer(0, 2, gl.FLOAT, false, MARK_BYTES, 0);
  gl.vertexAttribIPointer(1, 2, gl.UNSIGNED_BYTE, MARK_BYTES, 8);
  gl.bindVertexArray(null);
  return { paint, swaths, dots, marks, buffers: [shapes, paint, marked] };
}

/** Attributes of rows, each an instance (`divisor` 1) or a vertex (0). */
function layRows(gl: WebGL2RenderingContext, shapes: WebGLBuffer, paint: WebGLBuffer, divisor: number): void {
  for (const location of [0, 1, 2, 3, 4]) {
    gl.enableVertexAttribArray(location);
    gl.vertexAttribDivisor(location, divisor);
  }
  pointRows(gl, shapes, paint, 1);
}

/** Points the attributes at every `step`-th row from `first`, in the order of drawing. */
export function pointRows(
  gl: WebGL2RenderingContext,
  shapes: WebGLBuffer,
  paint: WebGLBuffer,
  step: number,
  first = 0,
): void {
  gl.bindBuffer(gl.ARRAY_BUFFER, shapes);
  gl.vertexAttribPointer(0, 2, gl.FLOAT, false, step * SHAPE_BYTES, first * SHAPE_BYTES);
  gl.vertexAttribPointer(1, 2, gl.SHORT, true, step * SHAPE_BYTES, first * SHAPE_BYTES + 8);
  gl.vertexAttribPointer(2, 2, gl.UNSIGNED_SHORT, false, step * SHAPE_BYTES, first * SHAPE_BYTES + 12);
  gl.bindBuffer(gl.ARRAY_BUFFER, paint);
  gl.vertexAttribPointer(3, 1, gl.UNSIGNED_SHORT, true, step * PAINT_BYTES, first * PAINT_BYTES);
  gl.vertexAttribIPointer(4, 2, gl.UNSIGNED_BYTE, step * PAINT_BYTES, first * PAINT_BYTES + 2);
}

function bufferOf(gl: WebGL2RenderingContext, bytes: ArrayBuffer, usage: number): WebGLBuffer {
  const buffer = gl.createBuffer();
  gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
  gl.bufferData(gl.ARRAY_BUFFER, bytes, usage);
  return buffer;
}
