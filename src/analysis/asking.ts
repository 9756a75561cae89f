/** One clause asked of a cart, whatever its question. */

import type { CartFacts, Clause } from '../requirements/index.js';
import type { Answer } from './answer.js';
import { cartFacts } from './cart-facts.js';
import type { CartModel } from './cart-model.js';
import type { PlacedLoads } from './castor-load.js';
import { answerCastorLoad, castorLoadsOf } from './castor-load.js';
import { answerCastorMissing } from './castor-missing.js';
import { answerCombinedForce } from './combined-force.js';
import { answerDownwardForce } from './downward-force.js';
import { answerHandles } from './handles.js';
import { answerHolding, inclineAsked, nothingToPush, pushAsked } from './holding.js';
import type { HoldingWishes } from './holding-search.js';
import { answerHorizontalForce } from './horizontal-force.js';
import { answerOverbalance } from './overbalance.js';
import { answerPropulsion } from './propulsion.js';
import { answerThreshold } from './threshold.js';

/** What all questions about a cart share. */
export interface Asking {
  readonly model: CartModel;
  readonly facts: CartFacts;
  readonly holding: HoldingWishes;
  readonly castorLoads: () => readonly PlacedLoads[];
}

export function askingOf(model: CartModel, holding: HoldingWishes): Asking {
  let loads: readonly PlacedLoads[] | null = null;
  return {
    model,
    facts: cartFacts(model),
    holding,
    castorLoads: () => {
      loads ??= castorLoadsOf(model);
      return loads;
    },
  };
}

export function answerOf({ model, facts, holding, castorLoads }: Asking, clause: Clause): Answer {
  const { question } = clause;
  switch (question.kind) {
    case 'overbalance':
      return answerOverbalance(model, clause, question);
    case 'horizontal force':
      return answerHorizontalForce(model, clause);
    case 'downward force':
      return answerDownwardForce(model, clause, facts);
    case 'combined force':
      return answerCombinedForce(model, clause);
    case 'propulsion':
      return answerPropulsion(model, clause);
    case 'threshold':
      return answerThreshold(model, clause);
    case 'holding on incline':
      return answerHolding(model, inclineAsked(model, clause, question.positions), holding);
    case 'holding against push': {
      const asked = pushAsked(model, clause);
      return asked === null ? nothingToPush(clause) : answerHolding(model, asked, holding);
    }
    case 'castor load':
      return answerCastorLoad(model, clause, castorLoads());
    case 'castor missing':
      return answerCastorMissing(model, clause, question, castorLoads());
    case 'handles':
      return answerHandles(model, clause);
  }
}
