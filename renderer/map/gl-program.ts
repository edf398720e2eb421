/** A linked WebGL program with its uniforms by name. */

export interface GlProgram {
  readonly program: WebGLProgram;
  /** Whether it can be used without waiting for the compiler, which works beside the window where it can. */
  readonly isReady: () => boolean;
  /** What is drawn from now on is drawn with it. */
  readonly begin: () => void;
  /** Location of a uniform; `null`, which WebGL ignores, when the compiler took it out. */
  readonly at: (name: string) => WebGLUniformLocation | null;
}

/**
 * Compiles and links; nothing waits for that until the program is used. `isReady` throws Error with the compiler's
 * words, which only our own mistakes can cause.
 */
export function glProgram(gl: WebGL2RenderingContext, vertex: string, fragment: string): GlProgram {
  const program = gl.createProgram();
  for (const [kind, source] of [
    [gl.VERTEX_SHADER, vertex],
    [gl.FRAGMENT_SHADER, fragment],
  ] as const) {
    const shader = gl.createShader(kind);
    if (!shader) throw new Error('the graphics context is lost');
    gl.shaderSource(shader, source);
    gl.compileShader(shader);
    gl.attachShader(program, shader);
    gl.deleteShader(shader);
  }
  gl.linkProgram(program);
  // Asking for the link's state waits for the compiler; a fence behind it can be looked at without waiting.
  const fence = gl.fenceSync(gl.SYNC_GPU_COMMANDS_COMPLETE, 0);
  gl.flush();
  let isReady = false;
  const check = (): boolean => {
    if (isReady) return true;
    if (fence && gl.getSyncParameter(fence, gl.SYNC_STATUS) !== gl.SIGNALED) return false;
    if (!gl.getProgramParameter(program, gl.LINK_STATUS) && !gl.isContextLost())
      throw new Error(`the map's shader does not link: ${gl.getProgramInfoLog(program)}`);
    gl.deleteSync(fence);
    isReady = true;
    return true;
  };
  const locations = new Map<string, WebGLUniformLocation | null>();
  return {
    program,
    isReady: check,
    begin: () => gl.useProgram(program),
    at: (name) => {
      if (!locations.has(name)) locations.set(name, gl.getUniformLocation(program, name));
      return locations.get(name) ?? null;
    },
  };
}
