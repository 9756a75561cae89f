/** How far a long computation is, with a way to stop it. */

import './task-progress.css';

export interface TaskProgressProps {
  /** what is computed, in words */
  readonly title: string;
  readonly done: number;
  readonly total: number;
  readonly what: string;
  readonly onStop: () => void;
}

export function TaskProgress({ title, done, total, what, onStop }: TaskProgressProps) {
  return (
    <div className="task-progress">
      <label>
        <span>{title}</span>
        <progress max={Math.max(1, total)} value={Math.min(done, total)} />
      </label>
      <p className="kit-soft">
        {total > 1 ? `${done} of ${total}` : ''} {what}
      </p>
      <button type="button" className="kit-button" onClick={onStop}>
        Stop
      </button>
      <p className="kit-hidden" role="status">
        {title}
      </p>
    </div>
  );
}
