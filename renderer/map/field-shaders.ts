/** GLSL of the field's layer: swaths as instanced quads, rows as dots, screened rows as open marks. */
import { SCREENING_RULES } from '../../core/result.ts';
import type { ScreeningRule } from '../../core/season.ts';
import { STATE } from './swath-buffers.ts';

/** Colour of a row from its place on the ramp and its state; faded towards the ground instead of made transparent. */
const ROW_COLOUR = `
uniform sampler2D u_ramp;
uniform vec3 u_ground;
uniform vec3 u_ghost;
uniform bool u_has_selection;
const vec2 TEXELS = vec2(256.0, 1.0);
vec3 rowColour(float place, uvec2 paint) {
  uint state = paint.y;
  vec3 colour = texelFetch(u_ramp, ivec2(min(int(place * TEXELS.x), 255), 0), 0).rgb;
  colour = mix(u_ground, colour, float(paint.x) / 255.0);
  if ((state & ${STATE.screened | STATE.colourless}u) != 0u) colour = u_ghost;
  if (u_has_selection && (state & ${STATE.selected}u) == 0u) colour = mix(u_ground, colour, 0.22);
  if ((state & ${STATE.outside_span}u) != 0u) colour = mix(u_ground, colour, 0.14);
  return colour;
}`;

export const SWATH_VERTEX = `#version 300 es
precision highp float;
uniform mat4 u_matrix;
uniform float u_least_half_m;
uniform float u_stretch;
layout(location = 0) in vec2 a_xy;
layout(location = 1) in vec2 a_direction;
layout(location = 2) in vec2 a_half_mm;
layout(location = 3) in float a_place;
layout(location = 4) in uvec2 a_paint;
flat out vec3 v_colour;
${ROW_COLOUR}
void main() {
  if ((a_paint.y & ${STATE.hidden}u) != 0u) {
    gl_Position = vec4(2.0, 2.0, 2.0, 1.0);
    return;
  }
  vec2 corner = vec2(float(gl_VertexID & 1), float(gl_VertexID >> 1)) * 2.0 - 1.0;
  // Grown by a third of a pixel, lest rounding leave light between neighbours.
  vec2 half_m = max(a_half_mm * 0.001 * vec2(u_stretch, 1.0) + 0.6 * u_least_half_m, vec2(u_least_half_m));
  vec2 right = vec2(a_direction.y, -a_direction.x);
  vec2 place_m = a_xy + a_direction * half_m.x * corner.y + right * half_m.y * corner.x;
  gl_Position = u_matrix * vec4(place_m, 0.0, 1.0);
  v_colour = rowColour(a_place, a_paint);
}`;

export const SWATH_FRAGMENT = `#version 300 es
precision mediump float;
flat in vec3 v_colour;
out vec4 colour;
void main() { colour = vec4(v_colour, 1.0); }`;

export const DOT_VERTEX = `#version 300 es
precision highp float;
uniform mat4 u_matrix;
uniform float u_size_px;
layout(location = 0) in vec2 a_xy;
layout(location = 3) in float a_place;
layout(location = 4) in uvec2 a_paint;
flat out vec3 v_colour;
${ROW_COLOUR}
void main() {
  if ((a_paint.y & ${STATE.hidden}u) != 0u) {
    gl_Position = vec4(2.0, 2.0, 2.0, 1.0);
    return;
  }
  gl_Position = u_matrix * vec4(a_xy, 0.0, 1.0);
  gl_PointSize = u_size_px;
  v_colour = rowColour(a_place, a_paint);
}`;

export const DOT_FRAGMENT = `#version 300 es
precision mediump float;
flat in vec3 v_colour;
out vec4 colour;
void main() {
  vec2 from_middle = gl_PointCoord - 0.5;
  if (dot(from_middle, from_middle) > 0.25) discard;
  colour = vec4(v_colour, 1.0);
}`;

export const PICTURE_VERTEX = `#version 300 es
precision highp float;
uniform mat4 u_matrix;
uniform vec4 u_corners;
out vec2 v_at;
void main() {
  v_at = vec2(float(gl_VertexID & 1), float(gl_VertexID >> 1));
  gl_Position = u_matrix * vec4(mix(u_corners.xy, u_corners.zw, v_at), 0.0, 1.0);
}`;

export const PICTURE_FRAGMENT = `#version 300 es
precision mediump float;
uniform sampler2D u_picture;
in vec2 v_at;
out vec4 colour;
void main() { colour = texture(u_picture, v_at); }`;

export const MARK_VERTEX = `#version 300 es
precision highp float;
uniform mat4 u_matrix;
uniform float u_size_px;
uniform uint u_shown;
uniform uint u_least_level;
layout(location = 0) in vec2 a_xy;
layout(location = 1) in uvec2 a_mark;
flat out uint v_rule;
void main() {
  v_rule = a_mark.x;
  bool is_shown = (u_shown >> a_mark.x & 1u) == 1u && a_mark.y >= u_least_level;
  gl_Position = is_shown ? u_matrix * vec4(a_xy, 0.0, 1.0) : vec4(2.0, 2.0, 2.0, 1.0);
  gl_PointSize = u_size_px;
}`;

/** As `screened_by` names the rule: 1 + index into `SCREENING_RULES`. */
const reason = (rule: ScreeningRule) => `${1 + SCREENING_RULES.indexOf(rule)}u`;

/** Distance to the outline of each reason's mark, in units of half the mark; the shapes are those of the report. */
export const MARK_FRAGMENT = `#version 300 es
precision highp float;
uniform float u_size_px;
uniform vec3 u_ink;
uniform vec3 u_ground;
flat in uint v_rule;
out vec4 colour;
float triangle(vec2 p) {
  float side = 0.866 * abs(p.x) + 0.5 * p.y - 0.34;
  return abs(max(side, -p.y - 0.44));
}
float stroke(vec2 p) {
  return length(vec2(p.x, max(abs(p.y) - 0.56, 0.0)));
}
vec2 turned(vec2 p, float way) {
  return vec2(0.5 * p.x + way * 0.866 * p.y, 0.5 * p.y - way * 0.866 * p.x);
}
float chevron(vec2 p, float top) {
  float off = abs(p.y - top - 1.1 * abs(p.x)) * 0.673;
  return length(vec2(off, max(abs(p.x) - 0.48, 0.0)));
}
float outline(uint rule, vec2 p) {
  if (rule == ${reason('ramp')}) return abs(length(p) - 0.52);
  if (rule == ${reason('slow')}) return abs(max(abs(p.x), abs(p.y)) - 0.46);
  if (rule == ${reason('speed_jump')}) return abs(abs(p.x) + abs(p.y) - 0.66) * 0.707;
  if (rule == ${reason('narrow_cut')}) return triangle(vec2(p.x, -p.y));
  if (rule == ${reason('yield_limits')}) return triangle(p);
  if (rule == ${reason('by_hand')}) return stroke(p.yx);
  if (rule == ${reason('short_pass')}) return abs(max(abs(p.x) - 0.52, abs(p.y) - 0.26));
  if (rule == ${reason('flow_range')}) return min(chevron(p, -0.52), chevron(p, 0.06));
  if (rule == ${reason('moisture_range')})
    return abs(length(vec2(p.x * (1.0 + 1.2 * max(-p.y, 0.0)), 0.85 * p.y - 0.08)) - 0.44);
  if (rule == ${reason('local_outlier')}) return min(stroke(p), min(stroke(turned(p, 1.0)), stroke(turned(p, -1.0))));
  vec2 q = rule == ${reason('no_fix')} ? vec2(p.x + p.y, p.x - p.y) * 0.707 : p;
  vec2 a = abs(q);
  return length(vec2(max(max(a.x, a.y) - 0.58, 0.0), min(a.x, a.y)));
}
void main() {
  vec2 p = gl_PointCoord * 2.0 - 1.0;
  float px = outline(v_rule, p) * u_size_px * 0.5;
  float scale = u_size_px / 13.0;
  float ink = 1.0 - smoothstep(0.35 * scale, 0.35 * scale + 0.9, px);
  float halo = 0.7 * (1.0 - smoothstep(1.0 * scale, 1.0 * scale + 1.0, px));
  float alpha = max(ink, halo);
  if (alpha < 0.01) discard;
  colour = vec4(mix(u_ground, u_ink, ink) * alpha, alpha);
}`;
