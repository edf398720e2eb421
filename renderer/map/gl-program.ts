/** A linked WebGL program with its uniforms by name. */

export interface GlProgram {
  readonly program: WebGLProgram;
  /** What is drawn from now on is drawn with it. */
  readonly begin: () => void;
  /** Location of a uniform; `null`, which WebGL ignores, when the compiler took it out. */
  readonly at: (name: string) => WebGLUniformLocation | null;
}

/** Compiles and links. Throws Error with the compiler's words, which only our own mistakes can cause. */
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
  if (!gl.getProgramParameter(program, gl.LINK_STATUS) && !gl.isContextLost())
    throw new Error(`the map's shader does not link: ${gl.getProgramInfoLog(program)}`);
  const locations = new Map<string, WebGLUniformLocation | null>();
  return {
    program,
    begin: () => gl.useProgram(program),
    at: (name) => {
      if (!locations.has(name)) locations.set(name, gl.getUniformLocation(program, name));
      return locations.get(name) ?? null;
    },
  };
}
