/** All that is wrong with the cart file, each with a way to its field. */

import { useWorkbench } from '../kit/use-workbench.js';
import type { FieldIssue } from '../store/reading.js';
import { useDescribe } from './describe-context.js';
import { fieldWords } from './field-address.js';
import { problemWords } from './sections.js';

export function ProblemList({ isReadable }: { readonly isReadable: boolean }) {
  const { problems } = useDescribe();
  const { errors, warnings } = problems;
  const isShown = useWorkbench((s) => s.cart !== null);
  const words = problemWords(errors.length, warnings.length);
  const all = [...errors, ...warnings];
  return (
    <section className="describe-problems" aria-label="Problems">
      <p role="status" className={isReadable ? 'kit-hidden' : 'describe-unreadable'}>
        {isReadable
          ? ''
          : isShown
            ? 'The cart cannot be read as it is. The drawings and findings show it as it could last be read.'
            : 'The cart cannot be read as it is: nothing is drawn or judged until that is mended.'}
      </p>
      {all.length === 0 ? (
        <p className="kit-soft">The description has {words}.</p>
      ) : (
        <details open={errors.length > 0 || undefined}>
          <summary className={errors.length > 0 ? 'kit-problem' : 'describe-warning'}>
            {words}
          </summary>
          <ul className="plain">
            {all.slice(0, MOST_SHOWN).map((each, index) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: the list is made anew with every reading
              <Problem key={index} problem={each} />
            ))}
          </ul>
          {all.length > MOST_SHOWN && (
            <p className="kit-soft">and {all.length - MOST_SHOWN} more</p>
          )}
        </details>
      )}
    </section>
  );
}

/** More would not be read before the first ones are mended. */
const MOST_SHOWN = 50;

function Problem({ problem }: { readonly problem: FieldIssue }) {
  const { fields, goTo } = useDescribe();
  const { path, issue, words } = problem;
  const place = path === null ? placeWords(problem) : fieldWords(fields, path);
  return (
    <li>
      <button type="button" className="describe-problem" onClick={() => goTo(path ?? [])}>
        <b>
          {issue.severity === 'warning' ? 'Warning, ' : ''}
          {place}
        </b>
        : {words}
      </button>
    </li>
  );
}

function placeWords({ issue }: FieldIssue): string {
  return issue.line === null ? issue.file : `${issue.file}, line ${issue.line}`;
}
