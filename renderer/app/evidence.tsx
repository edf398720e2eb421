/** The evidence of the open stage. */
import type { ReactNode } from 'react';
import type { Stage } from '../session/session-state.ts';
import { STAGE_NAMES } from '../session/stage-tiles.ts';
import { useSessionState } from '../session/use-session.ts';
import { YieldStage } from '../steps/compare/yield-stage.tsx';
import { DeliverPanel } from '../steps/deliver/deliver-panel.tsx';
import { FillPanel } from '../steps/fill/fill-panel.tsx';
import { FlowPanel } from '../steps/flow/flow-panel.tsx';
import { GroundPanel } from '../steps/ground/ground-panel.tsx';
import { LagPanel } from '../steps/lag/lag-panel.tsx';
import { LoadsPanel } from '../steps/loads/loads-panel.tsx';
import { LogsPanel } from '../steps/logs/logs-panel.tsx';
import type { StepContext } from '../steps/panel.tsx';
import { useStepContext } from '../steps/panel.tsx';
import { ScreenedPanel } from '../steps/screened/screened-panel.tsx';
import { SurfacePanel } from '../steps/surface/surface-panel.tsx';

const PANELS: Readonly<Record<Exclude<Stage, 'logs'>, (props: StepContext) => ReactNode>> = {
  fill: FillPanel,
  flow: FlowPanel,
  lag: LagPanel,
  ground: GroundPanel,
  screened: ScreenedPanel,
  loads: LoadsPanel,
  yield: YieldStage,
  surface: SurfacePanel,
  deliver: DeliverPanel,
};

export function Evidence() {
  const { stage } = useSessionState().view;
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a panel that scrolls must be reached by keyboard
    <section className="evidence" aria-label={`Evidence: ${STAGE_NAMES[stage]}`} tabIndex={0}>
      <OpenPanel stage={stage} />
    </section>
  );
}

function OpenPanel({ stage }: { readonly stage: Stage }) {
  const context = useStepContext();
  const { season, job } = useSessionState();
  if (stage === 'logs') return <LogsPanel />;
  if (context === null) {
    const isOn = job?.state === 'queued' || job?.state === 'running';
    const words = isOn
      ? 'The logs are being read; the first figures come in a moment.'
      : (season?.document.logs.length ?? 0) === 0
        ? 'Nothing to show yet. Open Logs, or drop your files anywhere on the window.'
        : 'There is no result yet. What is missing stands under Logs.';
    return <p className="empty-state">{words}</p>;
  }
  const Panel = PANELS[stage];
  return <Panel {...context} />;
}
