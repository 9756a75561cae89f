/** The projects of the record place: opened, or begun. */

import './projects-page.css';
import { useState } from 'react';
import { momentWords } from '../../header/moment-words.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import { counted } from '../plan/plan-words.js';
import type { ProjectSummary } from '../store/records-api.js';
import { useTestDay, useTestDayStore } from '../use-test-day.js';
import { AboutTestDays } from './about-test-days.js';
import type { NewProjectKind } from './new-project-form.js';
import { FORM_KEYS, NewProjectForm } from './new-project-form.js';
import { projectsBegunHere } from './projects-begun-here.js';

export function ProjectsPage() {
  const store = useTestDayStore();
  const hasCart = useWorkbench((s) => s.file !== null && s.reading.cart !== null);
  const [asked, setAsked] = useState<NewProjectKind | null>(() => {
    // one that was half filled in is taken up again
    const has = (kind: NewProjectKind): boolean => store.getState().draft(FORM_KEYS[kind]) !== null;
    if (hasCart && has('with cart')) return 'with cart';
    return has('empty') ? 'empty' : null;
  });
  const [isClicked, setClicked] = useState(false);
  const kind = asked === 'with cart' && !hasCart ? 'empty' : asked;
  const ask = (next: NewProjectKind | null): void => {
    setAsked(next);
    setClicked(true);
  };
  return (
    <div className="projects">
      <div className="projects-main">
        <NewProjectWays asked={kind} hasCart={hasCart} onAsk={ask} />
        {kind !== null && (
          <NewProjectForm key={kind} kind={kind} takesFocus={isClicked} onClose={() => ask(null)} />
        )}
        <ProjectList />
      </div>
      <AboutTestDays />
    </div>
  );
}

interface WaysProps {
  readonly asked: NewProjectKind | null;
  readonly hasCart: boolean;
  readonly onAsk: (kind: NewProjectKind) => void;
}

function NewProjectWays({ asked, hasCart, onAsk }: WaysProps) {
  const cart = useWorkbench((s) => s.reading.cart?.name ?? null);
  if (asked !== null) return null;
  return (
    <div className="projects-ways">
      {hasCart && (
        <button
          type="button"
          className="kit-button is-main"
          title={cart ?? undefined}
          onClick={() => onAsk('with cart')}
        >
          New project from this cart
        </button>
      )}
      <button
        type="button"
        className={hasCart ? 'kit-button' : 'kit-button is-main'}
        onClick={() => onAsk('empty')}
      >
        New project
      </button>
      {hasCart && (
        <span className="kit-soft projects-cart" title={cart ?? undefined}>
          On the sheet: {cart}
        </span>
      )}
    </div>
  );
}

function ProjectList() {
  const place = useTestDay((s) => s.place);
  const link = useTestDay((s) => s.link);
  const kept = useTestDay((s) => s.projects);
  const pending = useTestDay((s) => s.pending);
  const here = projectsBegunHere(
    pending.map(({ entry }) => entry),
    kept,
  );
  const all = [...kept].sort((a, b) => (a.changed < b.changed ? 1 : -1));
  return (
    <section className="projects-list" aria-labelledby="projects-title">
      <h2 id="projects-title">
        Projects {place !== null && <span className="projects-place">in {place}</span>}
      </h2>
      {here.length + all.length === 0 && <p className="projects-empty">{emptyWords(link)}</p>}
      <ul className="plain">
        {here.map((project) => (
          <ProjectItem key={project.id} project={project} isWaiting />
        ))}
        {all.map((project) => (
          <ProjectItem key={project.id} project={project} />
        ))}
      </ul>
      <p className="kit-soft">
        A project that was exported to one file is taken in on the command line:{' '}
        <code>standstill records import FILE</code>.
      </p>
    </section>
  );
}

function emptyWords(link: 'not asked yet' | 'answers' | 'away'): string {
  if (link === 'not asked yet') return 'Looking for projects...';
  return link === 'away'
    ? 'The program does not answer, so the projects are not known now. One that is begun here is kept in this browser and sent later.'
    : 'No project yet. Begin one for the cart that is to be tested.';
}

interface ProjectItemProps {
  readonly project: ProjectSummary;
  /** begun here, and not kept by the program yet */
  readonly isWaiting?: boolean;
}

function ProjectItem({ project, isWaiting = false }: ProjectItemProps) {
  const store = useTestDayStore();
  const { id, name, customer, entries, changed } = project;
  return (
    <li>
      <button
        type="button"
        className="projects-open"
        title={name}
        onClick={() => void store.getState().open(id)}
      >
        <span className="projects-name">{name}</span>
        <span className="projects-about">
          {customer !== '' && <span className="projects-customer">{customer}</span>}
          <span>{counted(entries, 'entry', 'entries')}</span>
          <span>changed {momentWords(changed, new Date().toISOString())}</span>
        </span>
        {isWaiting && (
          <span className="projects-waiting">in this browser only, waits to be sent</span>
        )}
      </button>
    </li>
  );
}
