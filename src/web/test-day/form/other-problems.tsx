/** What is wrong with an entry and stands at no field of the form: nothing is refused without a word. */

import type { Problems } from './use-form.js';

interface OtherProblemsProps {
  readonly problems: Problems;
  /** fields of the body whose problems the form shows itself */
  readonly shown: readonly string[];
}

export function OtherProblems({ problems: { all }, shown }: OtherProblemsProps) {
  const others = all.filter(({ path }) => {
    const field = path[0] === 'body' ? path[1] : path[0];
    return !shown.includes(String(field));
  });
  return others.map(({ message }) => (
    <p key={message} className="kit-problem" role="alert">
      {message}
    </p>
  ));
}
