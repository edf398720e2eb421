/** Files may be dropped anywhere at any time. */
import { useEffect, useRef, useState } from 'react';
import { useSession } from '../session/use-session.ts';

interface DropFilesProps {
  readonly words?: string;
  /** What is done with them; imported into the season without. */
  readonly onFiles?: (files: readonly File[]) => void;
}

export function DropFiles({ words = 'Drop logs, tickets and boundaries here', onFiles }: DropFilesProps) {
  const session = useSession();
  const take = useRef(onFiles);
  take.current = onFiles;
  const [isOver, setOver] = useState(false);
  useEffect(() => {
    // Entering a child fires before leaving its parent: count, do not toggle.
    let depth = 0;
    const hasFiles = ({ dataTransfer }: DragEvent) => dataTransfer?.types.includes('Files') ?? false;
    const onEnter = (event: DragEvent) => {
      if (!hasFiles(event)) return;
      depth++;
      setOver(true);
    };
    const onLeave = () => {
      depth = Math.max(0, depth - 1);
      if (depth === 0) setOver(false);
    };
    const onOver = (event: DragEvent) => event.preventDefault();
    const onDrop = (event: DragEvent) => {
      event.preventDefault();
      depth = 0;
      setOver(false);
      const files = [...(event.dataTransfer?.files ?? [])];
      if (files.length === 0) return;
      if (take.current === undefined) void session.importFiles(files);
      else take.current(files);
    };
    addEventListener('dragenter', onEnter);
    addEventListener('dragleave', onLeave);
    addEventListener('dragover', onOver);
    addEventListener('drop', onDrop);
    return () => {
      removeEventListener('dragenter', onEnter);
      removeEventListener('dragleave', onLeave);
      removeEventListener('dragover', onOver);
      removeEventListener('drop', onDrop);
    };
  }, [session]);
  if (!isOver) return null;
  return (
    <div className="drop-veil" role="status">
      {words}
    </div>
  );
}
