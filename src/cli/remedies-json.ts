/** Remedies as JSON, described by schema/remedies-1.schema.json: SI values, each beside its unit. */

import type {
  Change,
  Effect,
  Governing,
  NearMiss,
  RemediesReport,
  Remedy,
  Standing,
} from '../remedies/index.js';
import { changesText, phraseText } from '../remedies/index.js';
import { amountJson, finite, jsonText, SI_UNITS } from './report-json.js';

export const REMEDIES_SCHEMA = 'standstill/remedies-1';

function changeJson({ kind, lever, words, amount, share, relies, edits, notes }: Change) {
  return {
    kind,
    lever,
    words: phraseText(words, 'SI'),
    amount: amountJson(amount),
    share,
    relies,
    edits,
    notes,
  };
}

function reserve(value: number | null): number | 'unlimited' | null {
  return value === null ? null : finite(value);
}

function effectJson({ id, title, before, after, proven, became, reason }: Effect) {
  const reserves = { before: reserve(before), after: reserve(after), proven: reserve(proven) };
  return { id, title, ...reserves, became, reason };
}

function governingJson(governs: Governing | null) {
  if (governs === null) return null;
  return { ...governs, reserve: finite(governs.reserve) };
}

function standingJson({ id, title, reserve: value }: Standing) {
  return { id, title, reserve: finite(value) };
}

function remedyJson(remedy: Remedy, index: number) {
  const { changes, edits, foundFrom, size, proof, effects, governs } = remedy;
  return {
    number: index + 1,
    words: changesText(changes, 'SI'),
    size,
    proven: proof.kind === 'proven',
    reasons: proof.kind === 'proven' ? [] : proof.reasons,
    changes: changes.map(changeJson),
    edits,
    foundFrom: foundFrom.map(amountJson),
    governs: governingJson(governs),
    effects: effects.map(effectJson),
  };
}

function nearMissJson({ changes, reached, short, title, reserve: value }: NearMiss) {
  return {
    words: changesText(changes, 'SI'),
    changes: changes.map(changeJson),
    reached: finite(reached),
    short,
    title,
    reserve: finite(value),
  };
}

export function remediesJson(report: RemediesReport, version: string): string {
  return jsonText({
    schema: REMEDIES_SCHEMA,
    standstill: version,
    cart: report.cart,
    units: SI_UNITS,
    requirementSet: report.requirementSet,
    margin: report.margin,
    outcome: report.outcome,
    passes: report.passes,
    short: report.short.map(standingJson),
    governs: governingJson(report.governs),
    notJudged: report.notJudged,
    remedies: report.remedies.map(remedyJson),
    more: report.more,
    nearMisses: report.nearMisses.map(nearMissJson),
    notes: report.notes,
    cautions: report.cautions,
  });
}
