const STARTER = `# A cart file, version 1: plain text (YAML), indented with spaces.
#
# Frame: origin on the floor, x forward, y to the left, z up. Every coordinate, also of what a mover
# carries, is measured in this one frame with every mover at zero.
# Quantities are written with their unit (18.5 kg, 40 lb, 32 in, 812 mm, 10 deg, 12 Nm);
# coefficients such as friction are bare numbers. Nothing is guessed: what is missing is an error.
standstill: 1
name: My cart
description: A column cart with a lift, a swing arm and a shelf.
mobility: mobile                  # moved on its own wheels between periods of use; or stationary
requirements: iec-60601-1-3.2

# A parts list from CAD (.csv or .xlsx beside this file) can give the masses:
#   parts list: my-parts.csv
# and then in a part, in place of mass:
#   from list: "Base weldment"

parts:                            # what is always there
  - name: base
    mass: 18.5 kg
    mass tolerance: 0.2 kg        # may be left out: none stated
    at: [0 mm, 0 mm, 120 mm]      # centre of mass
  - name: column head
    mass: 6 kg
    at: [0 mm, 0 mm, 900 mm]
    on: lift                      # the mover that carries it; left out: the base
  - name: display
    mass: 15 lb
    at: [300 mm, 0 mm, 1150 mm]
    on: arm

movers:
  - name: lift
    slide: {axis: up, from: 0 mm, to: 400 mm}    # axis: up, down, forward, back, left, right, [x, y, z]
  - name: arm
    on: lift
    turn:                         # positive by the right-hand rule: axis up, seen from above to the left
      about: [0 mm, 0 mm, 950 mm]
      axis: up
      from: -90 deg
      to: 90 deg
      # stops: [-90 deg, 0 deg, 90 deg]          # if it holds only at these

loads:                            # what comes and goes
  - name: supplies
    removable: {least: 0.5 kg, most: 4 kg}       # absent, or anything between
    at: [-100 mm, 0 mm, 500 mm]
  - name: bottle
    fluid: {least: 0 kg, most: 2 kg}             # anything between, always
    at: [0 mm, 150 mm, 1000 mm]
    on: lift

castor types:
  - name: swivel 100
    wheel diameter: 100 mm
    trail: 32 mm                  # from the stem to the contact
    swivel moment: 0.3 Nm         # what resists swivelling
    rolling length: 2.2 mm        # rolling force = load x this / wheel radius
    stiffness: 400 N/mm           # vertical, castor and mount
    rating: 60 kg                 # or: not stated
    tread: grey rubber

castors:                          # three or more, not in one line
  - name: front left
    type: swivel 100
    at: [250 mm, 230 mm]          # the stem
    lock: total                   # none, wheel, directional (stops swivelling) or total (both)
    brake torque: outlasts the tread             # or a moment: 12 Nm
  - name: front right
    type: swivel 100
    at: [250 mm, -230 mm]
    lock: none
  - name: rear left
    type: swivel 100
    at: [-250 mm, 230 mm]
    lock: none
  - name: rear right
    type: swivel 100
    at: [-250 mm, -230 mm]
    lock: total
    brake torque: outlasts the tread
  # a castor that does not swivel: fixed: 0 deg (its rolling direction), and a type without
  # trail and swivel moment

floor:
  name: vinyl 3 mm on concrete
  friction:
    - {tread: grey rubber, value: 0.5, tolerance: 0.1, basis: assumed}    # or measured

outline:                          # how high it is, and where a person can push
  - name: base cover
    box: {from: [-260 mm, -240 mm, 60 mm], to: [260 mm, 240 mm, 180 mm]}
    pushable: true
  - name: column
    cylinder: {base: [0 mm, 0 mm, 180 mm], radius: 45 mm, height: 800 mm}
    on: lift
    pushable: true
  - name: display body
    box: {from: [270 mm, -280 mm, 1000 mm], to: [330 mm, 280 mm, 1320 mm]}
    on: arm
    pushable: true

surfaces:                         # where someone may step (foothold), sit (seat) or lean (work surface)
  - name: shelf
    work surface: {from: [-250 mm, -200 mm], to: [50 mm, 200 mm], height: 450 mm}

handles:
  - name: push bar
    pushing: {at: [-280 mm, 0 mm, 950 mm]}       # or lifting: {at: [...], rating: 900 N}

markings: []                      # no pushing, no sitting, no stepping

positions:                        # at least one for transport and one for use
  - name: transport
    transport: {lift: 0 mm, arm: 0 deg}          # a value, or {from: ..., to: ...}; left out: the whole range
    loads: {supplies: {least: 0.5 kg, most: 2 kg}}   # absent, full, {least, most}; left out: all it allows
  - name: in use
    use: {}
`;

/** A commented cart file to start from; it reads without issues. */
export function writeStarterCart(): string {
  return STARTER;
}
