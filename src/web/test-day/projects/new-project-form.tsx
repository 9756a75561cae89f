/** Begins a project, with the cart of the sheet as its first revision where that is wished. */

import { useEffect, useRef, useState } from 'react';
import type { CartBody, ProjectBody } from '../../../test-record/index.js';
import { readEntry } from '../../../test-record/index.js';
import { useWorkbench, useWorkbenchStore } from '../../kit/use-workbench.js';
import type { WorkbenchStore } from '../../store/workbench.js';
import { TextField } from '../form/fields.js';
import { OtherProblems } from '../form/other-problems.js';
import type { Form } from '../form/use-form.js';
import { problemsFrom, useForm } from '../form/use-form.js';
import { cartBodyOf, fileNameOf } from '../plan/cart-of-sheet.js';
import type { TestDayStore } from '../store/test-day.js';
import { useTestDay, useTestDayStore } from '../use-test-day.js';

export type NewProjectKind = 'empty' | 'with cart';

export const FORM_KEYS: Readonly<Record<NewProjectKind, string>> = {
  empty: 'project new',
  'with cart': 'project new with cart',
};

interface NewProjectFormProps {
  readonly kind: NewProjectKind;
  /** it was asked for just now */
  readonly takesFocus: boolean;
  readonly onClose: () => void;
}

export function NewProjectForm({ kind, takesFocus, onClose }: NewProjectFormProps) {
  const workbench = useWorkbenchStore();
  const form = useForm(FORM_KEYS[kind], () => ({
    name: kind === 'with cart' ? (workbench.getState().reading.cart?.name ?? '') : '',
    customer: '',
    notes: '',
  }));
  const { value, change } = form;
  const problems = problemsFrom(projectProblems({ kind: 'project', ...value }));
  const { at, all } = problems;
  const [isTried, setTried] = useState(false);
  const { begin, isBeginning } = useBegin(kind, form);
  const box = useRef<HTMLFormElement>(null);
  useEffect(() => {
    if (takesFocus) box.current?.querySelector('input')?.focus();
  }, [takesFocus]);
  const told = (field: string): string | null => (isTried ? at(field) : null);
  return (
    <form
      ref={box}
      className="form projects-form"
      aria-label={TITLES[kind]}
      onSubmit={(event) => {
        event.preventDefault();
        setTried(true);
        if (all.length === 0) void begin();
      }}
    >
      <h2>{TITLES[kind]}</h2>
      <div className="form-fields">
        <TextField
          label="Name of the project"
          wide
          value={value.name}
          problem={told('name')}
          hint="what is tested, such as Lamp stand, first sample"
          onChange={(name) => change({ name })}
        />
        <TextField
          label="Customer"
          wide
          value={value.customer}
          problem={told('customer')}
          hint="for whom; may stay empty"
          onChange={(customer) => change({ customer })}
        />
        <TextField
          label="Notes"
          long
          value={value.notes}
          problem={told('notes')}
          onChange={(notes) => change({ notes })}
        />
      </div>
      {isTried && <OtherProblems problems={problems} shown={['name', 'customer', 'notes']} />}
      {kind === 'with cart' && <CartTaken />}
      <Answers
        isBeginning={isBeginning}
        onCancel={() => {
          form.clear();
          onClose();
        }}
      />
    </form>
  );
}

const TITLES: Readonly<Record<NewProjectKind, string>> = {
  empty: 'New project',
  'with cart': 'New project from this cart',
};

function CartTaken() {
  const cart = useWorkbench((s) => s.reading.cart?.name ?? '');
  const file = useWorkbench((s) => fileNameOf(s.file?.name ?? null));
  return (
    <p className="kit-soft">
      {cart} is put in as revision A: the file {file} as it is on the sheet now, with its parts
      list.
    </p>
  );
}

interface AnswersProps {
  readonly isBeginning: boolean;
  readonly onCancel: () => void;
}

function Answers({ isBeginning, onCancel }: AnswersProps) {
  const isNamed = useTestDay((s) => s.who.trim() !== '');
  return (
    <div className="form-answers">
      <button type="submit" className="kit-button is-main" disabled={isBeginning}>
        Begin the project
      </button>
      <button type="button" className="kit-button" onClick={onCancel}>
        Cancel
      </button>
      {!isNamed && (
        <span className="kit-soft">Say above who you are: every entry carries a name.</span>
      )}
    </div>
  );
}

function useBegin(kind: NewProjectKind, form: Form<Omit<ProjectBody, 'kind'>>) {
  const store = useTestDayStore();
  const workbench = useWorkbenchStore();
  const [isBeginning, setBeginning] = useState(false);
  const begin = async (): Promise<void> => {
    setBeginning(true);
    const { value } = form;
    try {
      // first: a browser that cannot keep the parts list says so before the project is begun
      const cart = kind === 'with cart' ? await firstRevision(store, workbench) : null;
      if (kind === 'with cart' && cart === null) return;
      // the half-filled form is of no project, and can be dropped while none is open
      form.clear();
      const { name, customer, notes } = value;
      const project = await store.getState().newProject(name, customer, notes);
      if (project === null) form.change(value);
      else if (cart !== null) await store.getState().write(cart);
    } finally {
      setBeginning(false);
    }
  };
  return { begin, isBeginning };
}

function firstRevision(store: TestDayStore, workbench: WorkbenchStore): Promise<CartBody | null> {
  const { text, partsLists, file } = workbench.getState();
  return cartBodyOf(
    store,
    { text, partsLists },
    {
      revision: 'A',
      file: fileNameOf(file?.name ?? null),
      follows: null,
      because: [],
      change: '',
    },
  );
}

const NOBODY = '00000000-0000-4000-8000-000000000000';

/** What the store would have against it. */
function projectProblems(body: ProjectBody) {
  const at = '2000-01-01T00:00:00.000Z';
  const read = readEntry({
    ...{ id: NOBODY, project: NOBODY, subject: NOBODY, base: null, who: 'nobody yet', at, why: '' },
    body,
  });
  return read.kind === 'ok' ? [] : read.problems;
}
