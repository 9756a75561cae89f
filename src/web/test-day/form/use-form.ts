/** A form whose half-filled state is kept in the browser at once, and checked as the store would. */

import { useMemo, useRef, useState } from 'react';
import type { EntryBody, EntryProblem } from '../../../test-record/index.js';
import type { WriteWishes } from '../store/test-day-state.js';
import { useTestDay, useTestDayStore } from '../use-test-day.js';

export interface Form<T> {
  readonly value: T;
  /** something was typed since it began */
  readonly isStarted: boolean;
  readonly change: (change: Partial<T>) => void;
  /** back to how it begins; what was typed is gone */
  readonly clear: () => void;
}

/** @param key of the form in its project, such as 'sample new'; a form of another key is another form:
 *   give the component that key too */
export function useForm<T extends object>(key: string, start: () => T): Form<T> {
  const store = useTestDayStore();
  const [value, setValue] = useState<T>(() => store.getState().draft<T>(key) ?? start());
  const [isStarted, setIsStarted] = useState(() => store.getState().draft(key) !== null);
  const newest = useRef(value);
  return {
    value,
    isStarted,
    change(change) {
      newest.current = { ...newest.current, ...change };
      store.getState().keepDraft(key, newest.current);
      setValue(newest.current);
      setIsStarted(true);
    },
    clear() {
      store.getState().dropDraft(key);
      newest.current = start();
      setValue(newest.current);
      setIsStarted(false);
    },
  };
}

export interface Problems {
  readonly all: readonly EntryProblem[];
  /** what stands beside a field: of its path, or of anything below it; null: nothing against it */
  readonly at: (...path: readonly (string | number)[]) => string | null;
}

/** What the store would have against the entry, as the project is now. */
export function useProblems(body: EntryBody, wishes: WriteWishes = {}): Problems {
  const store = useTestDayStore();
  const state = useTestDay((s) => s.state);
  const { subject, base, why } = wishes;
  return useMemo(() => {
    void state;
    const all = store.getState().check(body, {
      ...(subject === undefined ? {} : { subject }),
      ...(base === undefined ? {} : { base }),
      ...(why === undefined ? {} : { why }),
    });
    return problemsFrom(all);
  }, [store, state, body, subject, base, why]);
}

/** By field, of an entry that no project is open for. */
export function problemsFrom(all: readonly EntryProblem[]): Problems {
  return {
    all,
    at(...path) {
      const found = all.find((each) => isBelow(each.path, path));
      return found === undefined ? null : withoutPlace(found.message);
    },
  };
}

/** The store names the place by its name in the record; the form has a label for it. */
export function withoutPlace(message: string): string {
  const end = message.indexOf(': ');
  return end < 0 ? message : message.slice(end + 2);
}

/** Problems may be told with or without the body they are in. */
function isBelow(place: readonly (string | number)[], path: readonly (string | number)[]): boolean {
  const own = place[0] === 'body' ? place.slice(1) : place;
  return path.every((step, i) => own[i] === step);
}
