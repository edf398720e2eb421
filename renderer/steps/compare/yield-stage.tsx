/** The stage Yield: the field's own yield, strips compared, totals by group, margins. */
import './compare.css';
import type { ReactNode } from 'react';
import { comparisonsOf, useComparisons, type YieldPage } from '../../session/comparisons.ts';
import type { StepContext } from '../panel.tsx';
import { YieldPanel } from '../yield/yield-panel.tsx';
import { MarginPage } from './margin-page.tsx';
import { StripsPage } from './strips-page.tsx';
import { TotalsPage } from './totals-page.tsx';

const PAGES: readonly (readonly [YieldPage, string, (context: StepContext) => ReactNode])[] = [
  ['field', 'Field', YieldPanel],
  ['strips', 'Strips', StripsPage],
  ['totals', 'Totals', TotalsPage],
  ['margin', 'Margin', MarginPage],
];

export function YieldStage(context: StepContext) {
  const { page } = useComparisons();
  const comparisons = comparisonsOf(context.session);
  const Page = PAGES.find(([name]) => name === page)?.[2] ?? YieldPanel;
  return (
    <>
      <nav className="pages" aria-label="Yield">
        {PAGES.map(([name, words]) => (
          <button
            key={name}
            type="button"
            aria-current={name === page ? 'page' : undefined}
            onClick={() => comparisons.turnTo(name)}
          >
            {words}
          </button>
        ))}
      </nav>
      <Page {...context} />
    </>
  );
}
