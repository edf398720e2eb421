/** Marks of treatments: each its own shape as well as its own colour, the same on the map, in charts and in tables. */

/** Outlines about 0, 0 with a radius of one: dot, square, diamond, triangle, cross, triangle on its head. */
const SHAPES = [
  'M1 0A1 1 0 1 1-1 0A1 1 0 1 1 1 0z',
  'M-.9-.9H.9V.9H-.9z',
  'M0-1.25 1.25 0 0 1.25-1.25 0z',
  'M0-1.2 1.15.85H-1.15z',
  'M-.4-1.1H.4V-.4H1.1V.4H.4V1.1H-.4V.4H-1.1V-.4H-.4z',
  'M0 1.2 1.15-.85H-1.15z',
] as const;

export const TREATMENT_COLOURS = SHAPES.length;

interface MarkShapeProps {
  /** Place of the treatment. */
  readonly of: number;
  readonly x: number;
  readonly y: number;
  readonly radius: number;
  readonly fill?: 'full' | 'open';
}

/** Within a picture. */
export function MarkShape({ of, x, y, radius, fill = 'full' }: MarkShapeProps) {
  return (
    <path
      d={SHAPES[of % SHAPES.length]}
      transform={`translate(${x} ${y}) scale(${radius})`}
      className={`treatment-mark ${fill} ${treatmentClass(of)}`}
    />
  );
}

/** Among words. */
export function TreatmentMark({ of }: { readonly of: number }) {
  return (
    <svg className="treatment-sign" width={12} height={12} viewBox="-6 -6 12 12" aria-hidden="true">
      <MarkShape of={of} x={0} y={0} radius={4} />
    </svg>
  );
}

export function treatmentClass(place: number): string {
  return `treatment-${place % SHAPES.length}`;
}

/** Names in one order wherever they are shown, so that each has one mark: results put strips without points last. */
export function treatmentsIn(strips: readonly { readonly treatment: string }[]): readonly string[] {
  return [...new Set(strips.map(({ treatment }) => treatment))].sort();
}
