/** A dialog over the page: focus stays in it, Escape closes it where closing is allowed. */

import { Dialog as Base } from '@base-ui/react/dialog';
import type { ReactNode } from 'react';

export interface DialogProps {
  readonly title: string;
  readonly open: boolean;
  /** null: an answer has to be given */
  readonly onClose: (() => void) | null;
  readonly wide?: boolean;
  readonly children: ReactNode;
}

export function Dialog({ title, open, onClose, wide = false, children }: DialogProps) {
  return (
    <Base.Root
      open={open}
      onOpenChange={(isOpen) => {
        if (!isOpen) onClose?.();
      }}
      modal
      disablePointerDismissal={onClose === null}
    >
      <Base.Portal>
        <Base.Backdrop className="kit-dialog-backdrop" />
        <Base.Popup className={wide ? 'kit-dialog is-wide' : 'kit-dialog'}>
          <Base.Title render={<h2>{title}</h2>} />
          {children}
        </Base.Popup>
      </Base.Portal>
    </Base.Root>
  );
}
