/** How wide an element is: drawings are made to measure. */

import type { RefObject } from 'react';
import { useLayoutEffect, useState } from 'react';

export interface Room {
  /** px, whole */
  readonly width: number;
  readonly height: number;
}

/** null: not measured yet */
export function useRoom(element: RefObject<HTMLElement | null>): Room | null {
  const [room, setRoom] = useState<Room | null>(null);
  useLayoutEffect(() => {
    const { current } = element;
    if (current === null) return;
    const measure = (): void => {
      const width = Math.floor(current.clientWidth);
      const height = Math.floor(current.clientHeight);
      setRoom((last) =>
        last?.width === width && last.height === height ? last : { width, height },
      );
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(current);
    return () => observer.disconnect();
  }, [element]);
  return room;
}
