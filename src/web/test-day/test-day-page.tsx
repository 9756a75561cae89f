/** The test day: projects, and one project with its plan, sample, instruments, runs, results and history. */

import './test-day-page.css';
import type { ReactNode } from 'react';
import { useEffect, useId, useRef } from 'react';
import type { ProjectState } from '../../test-record/index.js';
import { useWorkbench, useWorkbenchStore } from '../kit/use-workbench.js';
import { HistorySection } from './history/history-section.js';
import { InstrumentsSection } from './instruments/instruments-section.js';
import { testDayOf } from './open-test-day.js';
import { PlanSection } from './plan/plan-section.js';
import { usePlanning } from './plan/planning.js';
import { ProjectsPage } from './projects/projects-page.js';
import { ResultsSection } from './results/results-section.js';
import { RunsSection } from './runs/runs-section.js';
import { SampleSection } from './sample/sample-section.js';
import type { Section } from './store/test-day-state.js';
import { SECTIONS } from './store/test-day-state.js';
import { TestDayContext, useTestDay, useTestDayStore } from './use-test-day.js';

export function TestDayPage() {
  const workbench = useWorkbenchStore();
  const folder = useWorkbench((s) => s.folder?.id ?? null);
  if (folder === null) return <p role="status">Looking at the folder...</p>;
  return (
    <TestDayContext value={testDayOf(folder, workbench)}>
      <TestDayFrame />
    </TestDayContext>
  );
}

function TestDayFrame() {
  const project = useTestDay((s) => s.project);
  const problem = useTestDay((s) => s.problem);
  return (
    <div className="test-day">
      <Bar />
      {problem !== null && (
        <p className="kit-problem test-day-problem" role="alert">
          {problem}
        </p>
      )}
      <div className="test-day-content">
        {project === null ? <ProjectsPage /> : <ProjectPage key={project} />}
      </div>
    </div>
  );
}

function Bar() {
  const store = useTestDayStore();
  const workbench = useWorkbenchStore();
  const hasSheet = useWorkbench((s) => s.file !== null);
  const project = useTestDay((s) => s.project);
  const name = useTestDay((s) => nameOf(s.state));
  return (
    <div className="test-day-bar">
      <div className="test-day-title">
        <h1 title={name ?? undefined}>{project === null ? 'Test days' : (name ?? 'Test day')}</h1>
        <LinkState />
      </div>
      {project !== null && <SectionChoice />}
      <WhoField />
      <div className="kit-row">
        {project !== null && (
          <button
            type="button"
            className="kit-button"
            onClick={() => void store.getState().open(null)}
          >
            All projects
          </button>
        )}
        <button
          type="button"
          className="kit-button"
          onClick={() => workbench.getState().goTo(hasSheet ? 'sheet' : 'start')}
        >
          {hasSheet ? 'Back to the sheet' : 'Back to the start'}
        </button>
      </div>
    </div>
  );
}

function nameOf(state: ProjectState | null): string | null {
  const project = state?.records.get(state.id)?.content;
  return project?.kind === 'project' ? project.name : null;
}

/** Whether everything written here is kept by the program too. */
function LinkState() {
  const waiting = useTestDay((s) => s.pending.length);
  const stuck = useTestDay(
    (s) => s.pending.filter(({ since, problems }) => since !== null || problems !== null).length,
  );
  const link = useTestDay((s) => s.link);
  const atRisk = useTestDay((s) => s.atRisk);
  const place = useTestDay((s) => s.place);
  return (
    <p
      className="kit-soft test-day-link"
      role="status"
      data-link={link}
      title={titleOf(link, place)}
    >
      {linkWords({ waiting, stuck, link, atRisk })}
    </p>
  );
}

function titleOf(link: Link['link'], place: string | null): string | undefined {
  return link === 'away' ? 'It is sent as soon as the program answers.' : (place ?? undefined);
}

interface Link {
  readonly waiting: number;
  readonly stuck: number;
  readonly link: 'not asked yet' | 'answers' | 'away';
  readonly atRisk: boolean;
}

function linkWords({ waiting, stuck, link, atRisk }: Link): string {
  if (atRisk) return 'This browser keeps nothing by itself: do not close the page.';
  if (stuck > 0) {
    return `${entries(stuck)} ${stuck === 1 ? 'waits' : 'wait'} for your decision: see History.`;
  }
  if (link === 'away') {
    const kept = waiting === 0 ? 'what you write is kept here' : `${entries(waiting)} kept here`;
    return `Program does not answer: ${kept}.`;
  }
  return waiting === 0 ? 'Everything is kept.' : `Sending ${entries(waiting)}...`;
}

function entries(count: number): string {
  return count === 1 ? '1 entry' : `${count} entries`;
}

function SectionChoice() {
  const store = useTestDayStore();
  const section = useTestDay((s) => s.section);
  const planned = usePlanning((s) =>
    s.view.kind === 'running' ? Math.round((100 * s.view.done) / s.view.total) : null,
  );
  return (
    <nav className="test-day-sections" aria-label="Parts of the test day">
      {SECTIONS.map((each) => (
        <button
          key={each}
          type="button"
          className="kit-button"
          aria-current={section === each ? 'page' : undefined}
          aria-pressed={section === each}
          onClick={() => store.getState().show(each)}
        >
          {each}
          {each === 'Plan' && planned !== null && (
            <span className="test-day-planned" style={{ inlineSize: `${planned}%` }} />
          )}
        </button>
      ))}
      <span className="kit-hidden" role="status">
        {planned === null ? '' : 'A plan is being made.'}
      </span>
    </nav>
  );
}

function WhoField() {
  const store = useTestDayStore();
  const who = useTestDay((s) => s.who);
  const id = useId();
  return (
    <div className="test-day-who">
      <label htmlFor={id}>You are</label>
      <input
        id={id}
        className="kit-input"
        value={who}
        autoComplete="name"
        placeholder="name, for every entry"
        onChange={(event) => store.getState().setWho(event.target.value)}
      />
    </div>
  );
}

const PARTS: Readonly<Record<Section, () => ReactNode>> = {
  Plan: () => <PlanSection />,
  Sample: () => <SampleSection />,
  Instruments: () => <InstrumentsSection />,
  Runs: () => <RunsSection />,
  Results: () => <ResultsSection />,
  History: () => <HistorySection />,
};

function ProjectPage() {
  const section = useTestDay((s) => s.section);
  const isThere = useTestDay((s) => s.state !== null);
  const top = useRef<HTMLElement>(null);
  useEffect(() => {
    void section;
    // another part begins at its top
    top.current?.scrollIntoView();
  }, [section]);
  if (!isThere) return <p role="status">Reading the project...</p>;
  return (
    <section ref={top} key={section} aria-label={section} className="test-day-section">
      {PARTS[section]()}
    </section>
  );
}
