/** A sheet over the screen: the page under it waits, Escape and a tap beside it close it. */

import "../style/sheet.css";
import type { ComponentChildren, JSX } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { words } from "../../strings/shell";

export interface SheetProps {
  readonly title: string;
  readonly onClose: () => void;
  readonly children: ComponentChildren;
}

export function Sheet({ title, onClose, children }: SheetProps): JSX.Element {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const shown = dialog.current;
    shown?.showModal();
    return () => shown?.close();
  }, []);
  const beside = (event: MouseEvent): void => {
    if (event.target === dialog.current) onClose();
  };
  return (
    <dialog
      ref={dialog}
      class="sheet"
      aria-label={title}
      onCancel={(event) => {
        event.preventDefault();
        onClose();
      }}
      onClick={beside}
      onKeyDown={undefined}
    >
      <header>
        <h2>{title}</h2>
        <button type="button" class="press quiet" onClick={onClose}>
          {words.close}
        </button>
      </header>
      {children}
    </dialog>
  );
}
