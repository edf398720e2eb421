/** Strips and treatments on one axis of yield: every strip with its own error, every treatment with the interval of its mean. */
import type { FieldComparison } from '../../core/analysis/comparison/comparison-result.ts';
import { tFromTwoSidedP } from '../../core/stats/student-t.ts';
import { decimal } from '../text/quantities.ts';
import { BottomAxis, type PlotBox } from './axes.tsx';
import { type AxisScale, axisScale } from './axis-scale.ts';
import { ChartFigure } from './chart-figure.tsx';
import { roundedSpan } from './ticks.ts';
import { MarkShape, treatmentClass, treatmentsIn } from './treatment-mark.tsx';

interface ComparisonChartProps {
  readonly comparison: FieldComparison;
  /** Shown yield of a yield in t/ha. */
  readonly shown: (yield_t_ha: number) => number;
  readonly unit: string;
  readonly digits: number;
}

/** More strips of a treatment than this lie on one line; px of each line, of the words, of the mean. */
const ROW = { most: 12, strip_px: 7, words_px: 19, mean_px: 18 };
/** Half-width of a 95 % interval of a strip, whose error comes from many points, in standard errors. */
const Z95 = 1.96;

export function ComparisonChart({ comparison, shown, unit, digits }: ComparisonChartProps) {
  const { strips, treatments, alpha_pct } = comparison;
  const places = treatmentsIn(strips);
  const t =
    comparison.test === null ? null : tFromTwoSidedP(alpha_pct / 100, comparison.test.degrees_of_freedom);
  const rows = treatments.map((one) => {
    const own = strips.filter(({ treatment }) => treatment === one.treatment);
    const lines = Math.min(own.length, ROW.most);
    return { one, own, lines, height: ROW.words_px + ROW.strip_px * lines + ROW.mean_px };
  });
  const height = rows.reduce((sum, row) => sum + row.height, 0) + 44;
  const half = (se: number | null, factor: number | null) =>
    se === null || factor === null ? 0 : factor * se;
  const ends = [
    ...strips.flatMap(({ yield_t_ha, yield_se_t_ha }) =>
      yield_t_ha === null
        ? []
        : [yield_t_ha - half(yield_se_t_ha, Z95), yield_t_ha + half(yield_se_t_ha, Z95)],
    ),
    ...treatments.flatMap(({ yield_t_ha, se_t_ha }) => [
      yield_t_ha - half(se_t_ha, t),
      yield_t_ha + half(se_t_ha, t),
    ]),
  ].map(shown);
  const title = `Yield of ${strips.length} strips and ${treatments.length === 1 ? 'their mean' : `means of ${treatments.length} treatments`}`;
  return (
    <ChartFigure
      title={title}
      alt={`${title}, ${unit}. ${comparison.told.join(' ')}`}
      height={height}
      table={{
        head: ['Treatment', `Mean, ${unit}`, `± , ${unit}`, 'Group'],
        rows: treatments.map(({ treatment, yield_t_ha, se_t_ha, letters }) => [
          treatment,
          decimal(shown(yield_t_ha), digits),
          se_t_ha === null || t === null ? '–' : decimal(shown(t * se_t_ha), digits),
          letters ?? '–',
        ]),
      }}
      note={
        t === null
          ? 'small: strips with the 95 % interval of their own ground; large: mean of the strips'
          : `small: strips with the 95 % interval of their own ground; large: mean of the strips with its ${decimal(100 - alpha_pct, 0)} % interval by the scatter of strips, once what pairs or blocks share is taken out. Treatments with a letter in common cannot be told apart.`
      }
    >
      {(width) => {
        const box: PlotBox = { left: 8, right: width - 10, top: 0, bottom: height - 38 };
        const [low, high] = roundedSpan(Math.min(...ends), Math.max(...ends), 5);
        const x = axisScale(low, high, box.left, box.right);
        let top = 0;
        return (
          <>
            {rows.map((row) => {
              const from = top;
              top += row.height;
              const place = places.indexOf(row.one.treatment);
              const mean = row.one.yield_t_ha;
              const reach = half(row.one.se_t_ha, t);
              const at = from + row.height - 11;
              return (
                <g key={row.one.treatment} className={treatmentClass(place)}>
                  {from > 0 && <path d={`M${box.left} ${from + 0.5}H${box.right}`} className="rule-line" />}
                  <MarkShape of={place} x={box.left + 5} y={from + 11} radius={4.2} />
                  <text x={box.left + 15} y={from + 15} className="treatment-name">
                    {row.one.treatment}
                  </text>
                  <text x={box.right} y={from + 15} textAnchor="end" className="treatment-figure">
                    {decimal(shown(mean), digits)} {unit}
                    {row.one.letters !== null && `  ${row.one.letters}`}
                  </text>
                  {row.own.map((strip, k) => (
                    <StripLine
                      // The place among the strips is what a strip is.
                      // biome-ignore lint/suspicious/noArrayIndexKey: strips have no name of their own
                      key={k}
                      x={x}
                      y={from + ROW.words_px + 5 + ROW.strip_px * (k % ROW.most)}
                      place={place}
                      middle={strip.yield_t_ha === null ? null : shown(strip.yield_t_ha)}
                      half={shown(half(strip.yield_se_t_ha, Z95))}
                    />
                  ))}
                  {reach > 0 && (
                    <path
                      d={`M${x.of(shown(mean - reach))} ${at}H${x.of(shown(mean + reach))}`}
                      className="mean-reach"
                    />
                  )}
                  <MarkShape of={place} x={x.of(shown(mean))} y={at} radius={6} />
                </g>
              );
            })}
            <BottomAxis scale={x} box={box} name={unit} />
          </>
        );
      }}
    </ChartFigure>
  );
}

interface StripLineProps {
  readonly x: AxisScale;
  readonly y: number;
  readonly place: number;
  readonly middle: number | null;
  readonly half: number;
}

function StripLine({ x, y, place, middle, half }: StripLineProps) {
  if (middle === null) return null;
  return (
    <>
      <path d={`M${x.of(middle - half)} ${y}H${x.of(middle + half)}`} className="strip-reach" />
      <MarkShape of={place} x={x.of(middle)} y={y} radius={2.8} fill="open" />
    </>
  );
}
