/** A sheet on paper, as a file, or kept with the season. */
import { type ReactNode, useState } from 'react';
import type { Paper } from '../../core/export/sheets/sheet-page.ts';
import type { KeepSheetBody } from '../../core/host-contract.ts';
import { HostTrouble } from '../host-client/host-client.ts';
import { printSheet, saveSheet } from './print-sheet.ts';
import type { FirstAcreContext } from './use-first-acre.ts';

interface SheetActionsProps {
  readonly what: string;
  readonly fileName: string;
  readonly context: FirstAcreContext;
  readonly textOf: (paper: Paper) => string;
  readonly bodyOf: (paper: Paper) => KeepSheetBody;
  readonly children?: ReactNode;
}

export function SheetActions({ what, fileName, context, textOf, bodyOf, children }: SheetActionsProps) {
  const { session, season, units } = context;
  const [chosen, setPaper] = useState<Paper | null>(null);
  const [kept, setKept] = useState<{ readonly path: string } | { readonly trouble: string } | null>(null);
  const paper = chosen ?? (units === 'us' ? 'letter' : 'a4');
  const keep = async (key: string) => {
    try {
      const { files } = await session.host.call('keepSheet', { season: key }, bodyOf(paper));
      setKept({ path: files[0].path });
    } catch (caught) {
      if (!(caught instanceof HostTrouble)) throw caught;
      setKept({ trouble: caught.reply.text });
    }
  };
  return (
    <div className="fit-actions">
      <button type="button" className="main" onClick={() => printSheet(textOf(paper))}>
        Print {what}
      </button>
      <label>
        Paper{' '}
        <select value={paper} onChange={({ target }) => setPaper(target.value === 'a4' ? 'a4' : 'letter')}>
          <option value="letter">Letter</option>
          <option value="a4">A4</option>
        </select>
      </label>
      {season === null ? (
        <button type="button" className="framed" onClick={() => saveSheet(textOf(paper), fileName)}>
          Save as a file
        </button>
      ) : (
        <button type="button" className="framed" onClick={() => void keep(season.season)}>
          Keep in the season
        </button>
      )}
      {children}
      <p role="status">
        {kept !== null && season !== null && 'path' in kept && (
          <>
            Kept in the season folder:{' '}
            <a href={session.host.fileAddress(season.season, kept.path)} download={kept.path.slice(4)}>
              {kept.path}
            </a>
          </>
        )}
        {kept !== null && 'trouble' in kept && kept.trouble}
      </p>
    </div>
  );
}
