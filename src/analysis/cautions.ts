/** What every output says, whatever was found. */

export const CAUTIONS: readonly string[] = [
  'A prediction from the stated inputs: it does not replace the test that the standard asks for.',
  'The purchased text of the standard and the rules of the place where the cart is used govern; values marked unconfirmed were not compared with a purchased copy.',
  'Tip tests need a restraint that catches the cart and a second person; keep out of the way it would fall.',
  'A qualified person decides and signs.',
];
