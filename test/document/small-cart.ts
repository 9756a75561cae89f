/** A small cart file with one thing on each line, and ways to spoil it. */

export const SMALL_CART = `standstill: 1
name: Small cart
mobility: mobile
parts:
  - name: base
    mass: 20 kg
    at: [0 mm, 0 mm, 100 mm]
  - name: head
    mass: 5 kg
    mass tolerance: 0.1 kg
    at: [0 mm, 0 mm, 900 mm]
    on: lift
movers:
  - name: lift
    slide:
      axis: up
      from: 0 mm
      to: 400 mm
  - name: arm
    on: lift
    turn:
      about: [0 mm, 0 mm, 900 mm]
      axis: [0, 0, 2]
      from: -90 deg
      to: 90 deg
      stops: [-90 deg, 0 deg, 90 deg]
loads:
  - name: bag
    fluid: {least: 0.5 kg, most: 3 kg}
    at: [0 mm, 100 mm, 1000 mm]
    on: arm
  - name: supplies
    removable: {least: 1 kg, most: 6 kg}
    at: [0 mm, 0 mm, 500 mm]
castor types:
  - name: swivel 100
    wheel diameter: 100 mm
    trail: 32 mm
    swivel moment: 0.3 Nm
    rolling length: 2.2 mm
    stiffness: 400 N/mm
    rating: 60 kg
    tread: grey rubber
  - name: fixed 100
    wheel diameter: 100 mm
    rolling length: 2.2 mm
    stiffness: 400 N/mm
    rating: not stated
    tread: grey rubber
castors:
  - name: front left
    type: swivel 100
    at: [250 mm, 220 mm]
    lock: total
    brake torque: 12 Nm
    lock directions: [0 deg, 90 deg]
  - name: front right
    type: swivel 100
    at: [250 mm, -220 mm]
    lock: none
  - name: rear
    type: fixed 100
    at: [-250 mm, 0 mm]
    fixed: 0 deg
    lock: wheel
    brake torque: outlasts the tread
floor:
  name: vinyl on concrete
  friction:
    - {tread: grey rubber, value: 0.6, tolerance: 0.1, basis: assumed}
outline:
  - name: base cover
    box:
      from: [-250 mm, -220 mm, 60 mm]
      to: [250 mm, 220 mm, 180 mm]
    pushable: true
  - name: column
    cylinder: {base: [0 mm, 0 mm, 180 mm], radius: 40 mm, height: 800 mm}
    on: lift
    pushable: false
surfaces:
  - name: step
    foothold: {from: [200 mm, -100 mm], to: [300 mm, 100 mm], height: 100 mm}
handles:
  - name: push bar
    pushing: {at: [-260 mm, 0 mm, 900 mm]}
  - name: lifting grip
    lifting: {at: [0 mm, 230 mm, 150 mm], rating: 900 N}
markings: [no sitting]
positions:
  - name: transport
    transport: {lift: 0 mm, arm: 0 deg}
    loads: {bag: full, supplies: absent}
  - name: in use
    use:
      lift: {from: 100 mm, to: 400 mm}
    loads:
      supplies: {least: 1 kg, most: 2 kg}
`;

/** The text with one snippet of it replaced; throws when the snippet is not there exactly once. */
export function spoiled(snippet: string, replacement: string, text: string = SMALL_CART): string {
  const pieces = text.split(snippet);
  if (pieces.length !== 2) throw new Error(`${pieces.length - 1} times in the text: ${snippet}`);
  return pieces.join(replacement);
}

/** Line, from 1, of the only line that holds the snippet. */
export function lineOf(snippet: string, text: string): number {
  const lines = text.split(/\r?\n/);
  const found = lines.flatMap((line, index) => (line.includes(snippet) ? [index + 1] : []));
  const [line] = found;
  if (line === undefined || found.length > 1) throw new Error(`${found.length} lines: ${snippet}`);
  return line;
}
