/** A button that takes away what was typed: it asks once more, so that a wrong tap loses nothing. */

import './form.css';
import { useEffect, useRef, useState } from 'react';

interface SureButtonProps {
  readonly words: string;
  /** null: nothing would be lost, and it is done at once */
  readonly asks: string | null;
  readonly sure: string;
  readonly onSure: () => void;
}

export function SureButton({ words, asks, sure, onSure }: SureButtonProps) {
  const [isAsking, setAsking] = useState(false);
  const keep = useRef<HTMLButtonElement>(null);
  useEffect(() => {
    if (isAsking) keep.current?.focus();
  }, [isAsking]);
  const done = (): void => {
    setAsking(false);
    onSure();
  };
  if (!isAsking || asks === null) {
    return (
      <button
        type="button"
        className="kit-button"
        onClick={asks === null ? done : () => setAsking(true)}
      >
        {words}
      </button>
    );
  }
  return (
    // what keeps stands where the finger is: a second tap loses nothing either
    <fieldset className="sure-button" aria-label={asks}>
      <button ref={keep} type="button" className="kit-button" onClick={() => setAsking(false)}>
        Keep it
      </button>
      <span>{asks}</span>
      <button type="button" className="kit-button sure-button-sure" onClick={done}>
        {sure}
      </button>
    </fieldset>
  );
}
