/** Treatments laid out in strips, one pass each: what the simulator grows on them, and how somebody would draw them. */
import type { StripSheet } from '../../core/analysis/comparison/comparison-sheet.ts';
import { blockFrame } from './block-frame.ts';
import { planLines } from './pass-plan.ts';
import type { FieldSpec, TreatedGround } from './scene-spec.ts';

/** Strips over the middle passes of a field, from one side to the other, one treatment of `order` each, of which `factors` says what it is worth. */
export function treatedPasses(
  field: FieldSpec,
  width_m: number,
  order: readonly string[],
  factors: Readonly<Record<string, number>>,
): TreatedGround[] {
  const [cos, sin] = direction(field);
  const { lines } = planLines(field, field.corners, width_m);
  const middles_m = lines.map(({ east_m, north_m }) => east_m[0] * cos - north_m[0] * sin);
  middles_m.sort((a, b) => a - b);
  const first = Math.floor((middles_m.length - order.length) / 2);
  const half_m = (middles_m[1] - middles_m[0]) / 2;
  return order.map((treatment, k) => ({
    treatment,
    factor: factors[treatment] ?? 1,
    from_across_m: middles_m[first + k] - half_m,
    to_across_m: middles_m[first + k] + half_m,
  }));
}

/** As drawn on the map: from `from_m` to `to_m` along the passes; runs of `size` strips are pairs or blocks, named by number, where it is given. */
export function drawnStrips(
  field: FieldSpec,
  strips: readonly TreatedGround[],
  [from_m, to_m]: readonly [number, number],
  size?: number,
): StripSheet[] {
  const frame = blockFrame(field.lon0, field.lat0);
  const [cos, sin] = direction(field);
  const place = (across_m: number, along_m: number): [number, number] => {
    const [longitude, latitude] = frame.lonLat(
      across_m * cos + along_m * sin,
      along_m * cos - across_m * sin,
    );
    return [Number(longitude.toFixed(7)), Number(latitude.toFixed(7))];
  };
  return strips.map(({ treatment, from_across_m, to_across_m }, k) => ({
    treatment,
    ...(size === undefined ? {} : { replicate: String(Math.floor(k / size) + 1) }),
    rings: [
      [
        place(from_across_m, from_m),
        place(to_across_m, from_m),
        place(to_across_m, to_m),
        place(from_across_m, to_m),
      ],
    ],
  }));
}

function direction({ passes }: FieldSpec): readonly [cos: number, sin: number] {
  const heading_rad = (passes.heading_deg * Math.PI) / 180;
  return [Math.cos(heading_rad), Math.sin(heading_rad)];
}
