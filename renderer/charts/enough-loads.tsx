/** How many loads are enough: the error of a total that no scale weighs, with the loads there are and with more. */
import type { CalibrationDiagnostics } from '../../core/calibration-result.ts';
import { decimal } from '../text/quantities.ts';
import { counted } from '../text/words.ts';
import { LeftAxis, type PlotBox } from './axes.tsx';
import { axisScale } from './axis-scale.ts';
import { ChartFigure } from './chart-figure.tsx';

const HEIGHT = 122;
/** Half-width of a 95 % interval in standard errors. */
const Z95 = 1.96;

export type LoadSteps = CalibrationDiagnostics['enough_loads'];

export function EnoughLoads({ steps }: { readonly steps: LoadSteps }) {
  if (steps.length < 2) return null;
  const most = Z95 * Math.max(...steps.map(({ total_se_pct }) => total_se_pct));
  return (
    <ChartFigure
      title={enoughWords(steps)}
      alt={`Expected error of a total by number of loads. ${enoughWords(steps)}`}
      height={HEIGHT}
      table={{
        head: ['Loads', 'Total known to ±, % (95 %)'],
        rows: steps.map(({ loads, total_se_pct }) => [String(loads), decimal(Z95 * total_se_pct, 2)]),
      }}
      note="calibration’s part of the 95 % interval; ● the loads there are, ○ with more"
    >
      {(width) => {
        const box: PlotBox = { left: 40, right: width - 24, top: 20, bottom: 84 };
        const x = axisScale(steps[0].loads - 0.4, (steps.at(-1)?.loads ?? 1) + 0.4, box.left, box.right);
        const y = axisScale(0, most * 1.15, box.bottom, box.top);
        const places = steps.map(
          ({ loads, total_se_pct }) => [x.of(loads), y.of(Z95 * total_se_pct)] as const,
        );
        return (
          <>
            <LeftAxis scale={y} box={box} name="total known to ±, %" count={3} />
            <path d={`M${places.map((place) => place.join(' ')).join('L')}`} className="trend" />
            {places.map(([left, top], i) => (
              <g key={left} className={`load ${i === 0 ? 'used' : 'unused'}`}>
                <circle cx={left} cy={top} r={3.4} className="mark" />
              </g>
            ))}
            {steps.map(({ loads }) => (
              <text key={loads} x={x.of(loads)} y={box.bottom + 15} textAnchor="middle">
                {loads}
              </text>
            ))}
            <text x={box.right} y={box.bottom + 29} textAnchor="end">
              loads
            </text>
          </>
        );
      }}
    </ChartFigure>
  );
}

/** A step that narrows the interval by less than this share is not worth a trip to the scale; common practice, no source. */
const WORTH_SHARE = 0.05;

/** Whether one more load is worth it, in a sentence. */
export function enoughWords(steps: LoadSteps): string {
  const [now, next] = steps;
  if (now === undefined || next === undefined) return 'How much one more load would tell is not known.';
  const half = (step: LoadSteps[number]) => decimal(Z95 * step.total_se_pct, 2);
  const gain = 1 - next.total_se_pct / now.total_se_pct;
  const start = `${counted(now.loads, 'load')} ${now.loads === 1 ? 'gives' : 'give'} totals to ± ${half(now)} %`;
  return gain < WORTH_SHARE
    ? `${start}: enough, one more would make it ± ${half(next)} %`
    : `${start}; one more would make it ± ${half(next)} %`;
}
