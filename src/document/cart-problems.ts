/** What is wrong, by code, as it reads after the actual value (or after the field's name when nothing
 * is there). */
export const CART_PROBLEMS = {
  // the text as a whole
  'file-too-large': 'is too large to read',
  'not-text': 'is not plain text in UTF-8',
  'control-character': 'is a character that a text file does not hold',
  'empty-file': 'holds nothing',
  'too-many-issues': 'issues are not listed',
  // YAML
  'yaml-syntax': 'is not well-formed YAML',
  'tab-indent': 'is a tab where the indentation is due',
  'yaml-tag': 'is a YAML tag, and tags are not used here',
  'yaml-directive': 'is a YAML directive, and directives are not used here',
  'several-documents': 'starts a second document',
  'merge-key': 'is a merge key, and merge keys are not used here',
  'duplicate-key': 'is given twice',
  'key-not-a-name': 'is not a name that a field can have',
  'too-deep': 'is nested too deeply',
  'too-many-aliases': 'is one alias too many',
  'alias-expands-too-far': 'stands for too much text',
  'unknown-alias': 'refers to no anchor that is complete before it',
  // version
  'not-a-cart-file': 'is not a cart file',
  'bad-version': 'is not a version of the cart file',
  'too-new': 'is newer than this program reads',
  'migration-failed': 'could not be brought to the current version',
  // structure
  'unknown-field': 'is not a field here',
  'missing-field': 'is missing',
  'missing-mass': 'has no mass, and a missing mass is never taken as zero',
  'missing-brake-torque': 'has no brake torque although the lock brakes the wheel',
  'one-of-these': 'cannot be given together',
  'wrong-kind': 'is not what is due here',
  'not-a-choice': 'is not one of the words allowed',
  'too-many': 'is too long',
  'too-few': 'is too short',
  'bad-name': 'is not a usable name',
  // quantities
  'no-unit': 'has no unit',
  'not-a-quantity': 'is not a number with a unit',
  'ambiguous-number': 'can be read as two different numbers',
  'unknown-unit': 'has a unit that is not known',
  'wrong-dimension': 'is the wrong kind of quantity',
  'not-finite': 'is not a finite number',
  'out-of-limits': 'is outside the limits',
  'zero-axis': 'points nowhere',
  // names
  'duplicate-name': 'is given twice',
  'unknown-name': 'names nothing in this file',
  // meaning
  'range-reversed': 'is above the end of the range',
  'range-outside': 'reaches outside what is allowed',
  'stop-outside': 'is a stop outside the range of its mover',
  'no-stop-in-range': 'holds none of the stops of its mover',
  'mover-cycle': 'carries itself',
  'castors-in-line': 'stand in one line',
  'castors-coincide': 'stands where another castor stands',
  'unneeded-field': 'does not belong here',
  'fixed-castor': 'does not go with a fixed castor',
  'no-transport-position': 'hold no transport position',
  'no-use-position': 'hold no position of normal use',
  'no-extent': 'has no extent',
  'below-floor': 'is below the floor',
  'no-friction-for-tread': 'has no friction stated',
  'tolerance-too-large': 'is too large a tolerance',
  'load-state': 'is a state that this load cannot be in',
  // parts list
  'parts-list-not-supplied': 'was not supplied or could not be read',
  'no-parts-list': 'is to come from a parts list, and none is named',
  'not-in-parts-list': 'is not in the parts list',
  'twice-from-parts-list': 'is taken from the parts list twice',
  'no-place-in-parts-list': 'has no centre of mass in the parts list',
  // warnings
  'unused-row': 'stands in the parts list but no part of the cart takes it',
  'unused-entry': 'is used by nothing',
} as const;

export type ProblemCode = keyof typeof CART_PROBLEMS;
