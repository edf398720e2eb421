/** The variogram's model beside its picture: fitted, or entered by hand. */
import type { SurfaceReply } from '../../../core/surface/surface-details.ts';
import type { SurfaceModelSheet, SurfaceSheet } from '../../../core/surface/surface-sheet.ts';
import { VARIOGRAM_SHAPES, type VariogramModel } from '../../../core/surface/variogram-model.ts';
import type { Surfaces } from '../../session/surfaces.ts';
import { decimal, type Quantity } from '../../text/quantities.ts';
import { Pairs } from '../panel.tsx';
import { SettingEntry } from './setting-entry.tsx';
import type { ShownUnit, SurfaceUnits } from './surface-units.ts';
import { VariogramChart } from './variogram-chart.tsx';

/** The shape that fits best, and its numbers. */
const FITTED = { shape: null, model: null };

interface ModelFormProps {
  readonly surfaces: Surfaces;
  readonly sheet: SurfaceSheet;
  readonly details: SurfaceReply;
  readonly shown: SurfaceUnits;
}

export function ModelForm({ surfaces, sheet, details, shown }: ModelFormProps) {
  const model = modelInUse(sheet, details);
  const byHand = sheet.model !== undefined;
  const setModel = ({ shape, ...numbers }: VariogramModel) => surfaces.try({ shape, model: numbers });
  const best = details.candidates[0];
  return (
    <section>
      <VariogramChart details={details} shown={shown} model={model} onModel={setModel} />
      {details.directions.length > 0 && <Pairs of={rangesOf(details, shown.length)} />}
      {model !== null && (
        <>
          <div className="row spaced">
            <label>
              Shape of the model{' '}
              <select
                value={sheet.shape ?? 'auto'}
                onChange={({ target }) => {
                  const shape = VARIOGRAM_SHAPES.find((one) => one === target.value) ?? null;
                  surfaces.try({ shape, model: null });
                }}
              >
                <option value="auto">what fits best{best ? ` (${best.model.shape})` : ''}</option>
                {VARIOGRAM_SHAPES.map((shape) => (
                  <option key={shape} value={shape}>
                    {shape}
                    {fitWords(details, shape)}
                  </option>
                ))}
              </select>
            </label>
            {byHand && (
              <button type="button" className="framed" onClick={() => surfaces.try(FITTED)}>
                Use the fitted model
              </button>
            )}
          </div>
          <p className="hint-line">
            {byHand
              ? 'Entered by hand, for every field of the season; fitted, each field has its own.'
              : 'Default: the shape that leaves least unexplained, fitted with pairs near each other weighing most, as cells are made of near points.'}
          </p>
          <ModelNumbers {...{ surfaces, model, byHand, shown, setModel }} />
        </>
      )}
    </section>
  );
}

/** The model that is tried or entered, else the fitted one; null where none fits. */
export function modelInUse(sheet: SurfaceSheet, details: SurfaceReply): VariogramModel | null {
  const fitted = details.candidates.find(({ model }) => model.shape === sheet.shape) ?? details.candidates[0];
  if (sheet.model === undefined) return fitted?.model ?? details.model;
  return { shape: sheet.shape ?? 'exponential', ...sheet.model };
}

function fitWords({ candidates }: SurfaceReply, shape: string): string {
  const explained = candidates.find(({ model }) => model.shape === shape)?.explained;
  return explained === undefined ? '' : `, explains ${decimal(100 * explained, 1)} %`;
}

interface ModelNumbersProps extends Pick<ModelFormProps, 'surfaces' | 'shown'> {
  readonly model: VariogramModel;
  readonly byHand: boolean;
}

const NUMBERS = [
  [
    'Nugget',
    'nugget',
    'What two measurements at one place differ by: noise, and what changes within a metre.',
  ],
  ['Partial sill', 'partial_sill', 'What distance adds to that in the end.'],
  ['Range of the formula', 'range_m', 'Stretches the curve; “alike up to” is where 5 % is left.'],
] as const;

function ModelNumbers({ surfaces, model: { shape, ...model }, byHand, shown }: ModelNumbersProps) {
  const withNumber = (change: Partial<SurfaceModelSheet>) => ({ shape, model: { ...model, ...change } });
  return NUMBERS.map(([label, key, reason]) => (
    <SettingEntry
      key={key}
      surfaces={surfaces}
      label={label}
      unit={key === 'range_m' ? shown.length : shown.square}
      entered={byHand ? model[key] : undefined}
      fallback={model[key]}
      within={key === 'range_m' ? [0.1, 100_000] : [0, 100]}
      changeFor={(number) => (number === null ? FITTED : withNumber({ [key]: number }))}
    >
      {reason}
    </SettingEntry>
  ));
}

const DIRECTIONS = ['north–south', 'north-east–south-west', 'east–west', 'south-east–north-west'];

/** How far yields are alike in each direction: much further one way than another is worth a model of its own. */
function rangesOf({ directions }: SurfaceReply, length: ShownUnit): readonly (readonly [string, Quantity])[] {
  return directions.map(({ azimuth_deg, effective_range_m }) => [
    `Alike ${DIRECTIONS[azimuth_deg / 45]} up to`,
    {
      number: decimal(effective_range_m === null ? null : length.per_si * effective_range_m, 0),
      unit: length.unit,
    },
  ]);
}
