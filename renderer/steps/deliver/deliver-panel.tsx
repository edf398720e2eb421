/** Deliver: files for others. */
import './deliver.css';
import { counted } from '../../text/words.ts';
import { Panel, type StepContext } from '../panel.tsx';
import { LayerFiles } from './layer-files.tsx';
import { ReportFiles } from './report-files.tsx';
import { StandardFiles } from './standard-files.tsx';

export function DeliverPanel(context: StepContext) {
  const { summary, season } = context;
  const fields = counted(summary.fields.length, 'field');
  return (
    <Panel
      title="Deliver"
      finding={`${fields} of ${season.name}, as files that open in what the receiver already has.`}
      meaning={
        <p>
          Every file names the program’s version, the hashes of the inputs and the settings, inside or in a
          text file beside it, so that it can be made again from the same folder, byte for byte. Yields are at
          each field’s standard moisture.
        </p>
      }
    >
      <ReportFiles {...context} />
      <h3 className="part">Layers for other programs</h3>
      <LayerFiles {...context} />
      <section>
        <details>
          <summary>The season’s own files, for scripts and printing</summary>
          <StandardFiles {...context} />
        </details>
      </section>
    </Panel>
  );
}
