/** Files may be dropped anywhere at any time. */
import { useEffect, useState } from 'react';
import { useSession } from '../session/use-session.ts';

export function DropFiles() {
  const session = useSession();
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
      if (files.length > 0) void session.importFiles(files);
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
      Drop logs, tickets and boundaries here
    </div>
  );
}
