/** What each example is there to show, in one line. */

const SHOWS: Readonly<Record<string, string>> = {
  'telehealth-two-locks-one-side.cart.yaml':
    'Lift and swing arm; both locks on the left, and a push from the wrong side moves it.',
  'telehealth-two-locks-opposite-corners.cart.yaml':
    'The same cart with the two locks on opposite corners.',
  'telehealth-four-locks.cart.yaml':
    'The same cart with four locks; masses from a spreadsheet beside it.',
  'fluid-stand-five-star.cart.yaml':
    'A tall, light stand: fluid bags that fill and empty, and a push that tips it.',
  'scanner-cart.cart.yaml':
    'Drawers, a heavy battery, two fixed castors behind and two that lock in front.',
  'lamp-stand-three-castor.cart.yaml':
    'Three castors, a turning arm and a counterweight; sizes in inches and pounds.',
  'kit-trolley-six-castor.cart.yaml':
    'Six castors on a frame that gives: how the weight is shared among them.',
};

/** null: no example of ours. @param name of its file */
export function exampleShows(name: string): string | null {
  return Object.hasOwn(SHOWS, name) ? (SHOWS[name] ?? null) : null;
}

/** Those of ours first, in the order in which they are best looked at. */
export function inOrder<T extends { readonly name: string }>(examples: readonly T[]): readonly T[] {
  const order = Object.keys(SHOWS);
  const place = ({ name }: T): number => {
    const at = order.indexOf(name);
    return at < 0 ? order.length : at;
  };
  return [...examples].sort((a, b) => place(a) - place(b));
}
