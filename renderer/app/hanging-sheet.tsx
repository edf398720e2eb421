/** A button with a sheet that hangs from it; Escape and a press elsewhere fold it up. */
import { type ReactNode, useEffect, useId, useRef, useState } from 'react';

interface HangingSheetProps {
  readonly label: string;
  readonly button: ReactNode;
  readonly className?: string;
  readonly children: ReactNode;
}

export function HangingSheet({ label, button, className = 'icon', children }: HangingSheetProps) {
  const [isOpen, setOpen] = useState(false);
  const place = useRef<HTMLDivElement>(null);
  const opener = useRef<HTMLButtonElement>(null);
  const id = useId();
  useEffect(() => {
    if (!isOpen) return;
    const onPress = ({ target }: PointerEvent) => {
      if (!(target instanceof Node) || !place.current?.contains(target)) setOpen(false);
    };
    const onKey = ({ key }: KeyboardEvent) => {
      if (key !== 'Escape') return;
      setOpen(false);
      opener.current?.focus();
    };
    addEventListener('pointerdown', onPress);
    addEventListener('keydown', onKey);
    return () => {
      removeEventListener('pointerdown', onPress);
      removeEventListener('keydown', onKey);
    };
  }, [isOpen]);
  return (
    <div className="hanging" ref={place}>
      <button
        ref={opener}
        type="button"
        className={className}
        aria-expanded={isOpen}
        aria-controls={isOpen ? id : undefined}
        onClick={() => setOpen(!isOpen)}
      >
        {button}
      </button>
      {isOpen && (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a list that scrolls must be reached by keyboard
        <section className="sheet" id={id} aria-label={label} tabIndex={0}>
          {children}
        </section>
      )}
    </div>
  );
}
