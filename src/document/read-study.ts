/**
 * Reads a study file, in two steps, since it speaks of a cart that stands in another file: first what
 * it says by itself, with the files it names; then, with these at hand, what varies.
 */

import type { Cart } from './cart.js';
import type { CartEdit } from './cart-edit-kinds.js';
import { editProblems } from './cart-edit-problem.js';
import type { CastorCatalogue } from './castor-catalogue.js';
import { catalogueOptions } from './catalogue-options.js';
import { combineEdits } from './combine-edits.js';
import type { ReadResult } from './issue.js';
import type { IssueLog } from './issue-log.js';
import { issueLog } from './issue-log.js';
import { MOST_VARIANTS, STUDY_LIMITS } from './limits.js';
import { checkName, itemsOf, namesOf, reportDuplicate } from './names.js';
import { folded } from './nearest-name.js';
import type { Located } from './shape.js';
import { shown, sure } from './shape.js';
import type { DraftOption, DraftOptions, OptionContext } from './study-options.js';
import {
  ballastOptions,
  everyLockOptions,
  frictionOptions,
  limitOptions,
  lockLayoutOptions,
  markingOptions,
  outwardOptions,
  payloadOptions,
} from './study-options.js';
import type { PlannedAim, PlannedFactor, PlannedOption, StudyPlan } from './study-plan.js';
import type { FactorDraft, StudyDraft } from './study-shape.js';
import { STUDY_VERSION, STUDY_VERSION_KEY, studyShape } from './study-shape.js';
import { checkText, lineStartsOf, withoutByteOrderMark } from './text-checks.js';
import type { YamlMap, YamlNode } from './yaml-tree.js';
import { readYamlTree, YAML_LIMITS } from './yaml-tree.js';

/** A study file that is right by itself. */
export interface StudyFile {
  readonly file: string;
  /** as written: paths relative to the study file */
  readonly cart: string;
  readonly catalogues: readonly string[];
  /** id of the requirement set; null: the one that the cart file names */
  readonly requirements: string | null;
  readonly draft: StudyDraft;
  readonly lineStarts: readonly number[];
}

/** What a study file speaks of. */
export interface StudyContext {
  readonly cart: Cart;
  /** by the name that the study file gives */
  readonly catalogues: ReadonlyMap<string, CastorCatalogue>;
  /** ids of the findings of the requirement set */
  readonly findings: readonly string[];
}

/** @param file its name, for the issues only */
export function readStudyFile(text: string, file: string): ReadResult<StudyFile> {
  const plain = withoutByteOrderMark(text);
  const isSmall = plain.length <= YAML_LIMITS.characters;
  const lineStarts = isSmall ? lineStartsOf(plain) : [0];
  const log = issueLog(file, lineStarts);
  if (isSmall) checkText(plain, log);
  const tree = log.errorCount() === 0 ? readYamlTree(plain, log, STUDY_DUE) : null;
  const root = tree && currentStudy(tree, log);
  const draft = root && studyShape.read(root, '', log);
  const issues = log.issues();
  if (log.errorCount() > 0) return { kind: 'invalid', issues };
  if (!draft) throw new Error(`readStudyFile(${file}): no study and no error`);
  const { fields } = draft;
  const catalogues = itemsOf(fields.vary).items.flatMap((factor) => {
    const named = factor.fields['castor catalogue']?.value.fields.file;
    return named === undefined ? [] : [named.value];
  });
  const value = {
    file,
    cart: sure(fields.cart).value,
    catalogues: [...new Set(catalogues)],
    requirements: fields.requirements?.value ?? null,
    draft,
    lineStarts,
  };
  return { kind: 'ok', value, warnings: issues };
}

const STUDY_DUE = `a study file, which starts with "${STUDY_VERSION_KEY}: ${STUDY_VERSION}"`;

function currentStudy(root: YamlNode, log: IssueLog): YamlMap | null {
  const version = root.kind === 'map' ? versionOf(root) : undefined;
  if (root.kind === 'map' && version?.kind === 'scalar' && version.value === STUDY_VERSION) {
    return root;
  }
  const node = version ?? root;
  const isNewer = node.kind === 'scalar' && Number(node.value) > STUDY_VERSION;
  const code =
    version === undefined ? 'not-a-study-file' : isNewer ? 'too-new' : 'bad-study-version';
  const allowed = version === undefined ? `a map that holds "${STUDY_VERSION_KEY}: 1"` : '1';
  const { offset } = node;
  log.report({ code, offset, path: STUDY_VERSION_KEY, actual: shown(node), allowed });
  return null;
}

function versionOf(root: YamlMap): YamlNode | undefined {
  return root.entries.find(({ key }) => key === STUDY_VERSION_KEY)?.node;
}

/** What varies, as edits of the cart; every option is tried on the cart by itself. */
export function planStudy(study: StudyFile, context: StudyContext): ReadResult<StudyPlan> {
  const { file, draft, lineStarts } = study;
  const log = issueLog(file, lineStarts);
  const { fields } = draft;
  const drafts = itemsOf(fields.vary);
  namesOf(drafts, 'factor', log);
  const factors = drafts.items.map((each) => readFactor(each, context, log));
  reportVariedTwice(factors, context.cart, log);
  reportTooMany(factors, sure(fields.vary), log);
  // edits of names that are not there say nothing more
  if (log.errorCount() === 0) {
    for (const { options } of factors) {
      for (const option of options) reportProblems(option, context.cart, log);
    }
  }
  const aims = readAims(draft, log);
  reportCosts(factors, draft, aims, log);
  reportCurrencies(draft, context.catalogues, log);
  const only = readFindings(draft, context.findings, log);
  const issues = log.issues();
  if (log.errorCount() > 0) return { kind: 'invalid', issues };
  const value: StudyPlan = {
    name: sure(fields.name).value,
    only,
    margin: sure(fields.margin).value,
    factors: factors.map(plannedFactor),
    aims,
    currency: fields.currency?.value ?? '',
    proofs: sure(fields.proofs).value,
  };
  return { kind: 'ok', value, warnings: issues };
}

interface ReadFactor {
  readonly name: Located<string>;
  readonly options: DraftOptions;
}

function readFactor(
  { fields, offset, path }: FactorDraft,
  context: StudyContext,
  log: IssueLog,
): ReadFactor {
  const name = sure(fields.name);
  const read = optionsOf(fields, context, { cart: context.cart, log });
  const usual = fields.cost?.value ?? null;
  const options = read.map((option) => ({ ...option, cost: option.cost ?? usual }));
  reportSameLabels(options, log);
  if (options.length > STUDY_LIMITS.options) {
    const [actual, allowed] = [`${options.length} options`, `at most ${STUDY_LIMITS.options}`];
    log.report({ code: 'too-many', offset, path, actual, allowed });
  }
  if (options.length === 0 && log.errorCount() === 0) {
    log.report({ code: 'too-few', offset, path, actual: null, allowed: 'at least one option' });
  }
  return { name, options };
}

function optionsOf(
  fields: FactorDraft['fields'],
  { catalogues }: StudyContext,
  context: OptionContext,
): DraftOptions {
  if (fields['lock layouts']) return lockLayoutOptions(fields['lock layouts'].value, context);
  if (fields['every lock']) return everyLockOptions(fields['every lock'].value, context);
  if (fields['castor catalogue']) {
    return catalogueOptions(fields['castor catalogue'].value, catalogues, context);
  }
  if (fields.widen) return outwardOptions(fields.widen.value, 1, context);
  if (fields.lengthen) return outwardOptions(fields.lengthen.value, 0, context);
  if (fields.ballast) return ballastOptions(fields.ballast.value, context);
  if (fields.payloads) return payloadOptions(fields.payloads.value, context);
  if (fields.limit) return limitOptions(fields.limit.value, context);
  if (fields.markings) return markingOptions(fields.markings.value);
  if (fields.friction) return frictionOptions(fields.friction.value, context.log);
  throw new Error('planStudy: a factor of no kind');
}

function reportSameLabels(options: DraftOptions, log: IssueLog): void {
  const seen = new Map<string, string>();
  for (const { label, offset, path } of options) {
    const first = seen.get(folded(label));
    if (first === undefined) seen.set(folded(label), label);
    else reportDuplicate({ value: label, source: label, offset, path }, first, 'option', log);
  }
}

/** What is wrong with the cart once the option is taken. */
function reportProblems({ edits, offset, path }: DraftOption, cart: Cart, log: IssueLog): void {
  for (const problem of editProblems(cart, combineEdits(cart, edits))) {
    const { code, actual, allowed } = problem;
    const place = `${path}: the cart's ${problem.path}`;
    log.report({ code, offset, path: place, actual, allowed });
  }
}

/** Two factors that set the same thing would undo each other. */
function reportVariedTwice(factors: readonly ReadFactor[], cart: Cart, log: IssueLog): void {
  const setBy = new Map<string, string>();
  for (const { name, options } of factors) {
    const targets = new Set(
      options.flatMap(({ edits }) => edits.flatMap((edit) => targetsOf(edit, cart))),
    );
    for (const target of targets) {
      const first = setBy.get(target);
      if (first === undefined) setBy.set(target, name.value);
      else {
        const { offset, path } = name;
        const allowed = `what no other factor varies ("${first}" varies ${target})`;
        log.report({ code: 'varied-twice', offset, path, actual: `"${name.value}"`, allowed });
        break;
      }
    }
  }
}

function targetsOf(edit: CartEdit, cart: Cart): readonly string[] {
  switch (edit.kind) {
    case 'castor lock': {
      // who brings another brake torque only does not set the lock
      const castor = cart.castors.find(({ name }) => name === edit.castor);
      return castor?.lock === edit.lock ? [] : [`the lock of castor "${edit.castor}"`];
    }
    case 'castor kind':
      return [`the kind of castor "${edit.castor}"`];
    case 'friction':
      return [`the friction of "${edit.tread}"`];
    case 'add part':
      return [`the part "${edit.name}"`];
    case 'part mass':
      return [`the mass of "${edit.part}"`];
    case 'part place':
      return [`the place of "${edit.part}"`];
    case 'mover range':
      return cart.positions.map(({ name }) => rangeTarget(edit.mover, name));
    case 'position mover':
      return [rangeTarget(edit.mover, edit.position)];
    case 'position load':
      return [`load "${edit.load}" in position "${edit.position}"`];
    case 'rename':
    case 'raise':
      return [edit.kind];
    // places add up, and so do signs
    case 'castor place':
    case 'add marking':
      return [];
  }
}

function rangeTarget(mover: string, position: string): string {
  return `the range of "${mover}" in position "${position}"`;
}

function reportTooMany(
  factors: readonly ReadFactor[],
  vary: Located<unknown>,
  log: IssueLog,
): void {
  const count = factors.reduce((product, { options }) => product * options.length, 1);
  if (count <= MOST_VARIANTS) return;
  const { offset, path } = vary;
  const allowed = `at most ${MOST_VARIANTS} variants`;
  log.report({ code: 'too-many-variants', offset, path, actual: String(count), allowed });
}

function readAims({ fields }: StudyDraft, log: IssueLog): readonly PlannedAim[] {
  const seen = new Set<string>();
  return itemsOf(fields.wanted).items.map(({ value, offset, path, source }) => {
    const [wanted, of] = value.split(' ') as [PlannedAim['wanted'], PlannedAim['of']];
    if (seen.has(of)) {
      const allowed = 'one aim for each of mass, width, length, cost and margin';
      log.report({ code: 'duplicate-name', offset, path, actual: source, allowed });
    }
    seen.add(of);
    return { of, wanted };
  });
}

function reportCosts(
  factors: readonly ReadFactor[],
  { fields, offset }: StudyDraft,
  aims: readonly PlannedAim[],
  log: IssueLog,
): void {
  const options = factors.flatMap((factor) => factor.options);
  if (fields.currency === null && options.some(({ cost }) => cost !== null)) {
    const allowed = 'the currency of the costs that are stated, such as EUR';
    log.report({ code: 'missing-field', offset, path: 'currency', actual: null, allowed });
  }
  if (!aims.some(({ of }) => of === 'cost')) return;
  for (const { name, options: its } of factors) {
    const free = its.find(({ cost }) => cost === null);
    if (free === undefined) continue;
    const allowed =
      'a cost with every option, or with the factor for all of them (cost: 0 where it costs nothing)';
    const place = { offset: name.offset, path: name.path };
    log.report({ code: 'missing-cost', ...place, actual: `"${free.label}"`, allowed });
  }
}

/** Costs of two currencies have no sum. */
function reportCurrencies(
  { fields }: StudyDraft,
  catalogues: StudyContext['catalogues'],
  log: IssueLog,
): void {
  const due = fields.currency;
  if (!due) return;
  for (const factor of itemsOf(fields.vary).items) {
    const file = factor.fields['castor catalogue']?.value.fields.file;
    const currency = file && catalogues.get(file.value)?.currency;
    if (!file || !currency || folded(currency) === folded(due.value)) continue;
    const { offset, path } = file;
    const allowed = `cost [${due.value}] as the heading of the catalogue's costs, since the study has currency: ${due.source}`;
    log.report({ code: 'other-currency', offset, path, actual: `cost [${currency}]`, allowed });
  }
}

function readFindings(
  { fields }: StudyDraft,
  ids: readonly string[],
  log: IssueLog,
): readonly string[] | null {
  if (fields.findings === null) return null;
  const known = new Map(ids.map((id) => [id, id]));
  const names = { kind: 'finding', known, complete: true };
  const wanted = itemsOf(fields.findings).items.filter((id) => checkName(id, names, log));
  return [...new Set(wanted.map(({ value }) => value))];
}

function plannedFactor({ name, options }: ReadFactor): PlannedFactor {
  const [first, ...others] = options.map(
    ({ label, edits, cost }): PlannedOption => ({ label, edits, cost }),
  );
  return { name: name.value, options: [sure(first), ...others] };
}
