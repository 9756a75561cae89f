/** How a cart is weighed: what makes the result good, and what hurts people. */

export function LevelGuide() {
  return (
    <details className="sample-guide">
      <summary>How to weigh level</summary>
      <ol>
        <li>
          Set movers, loads and castors as said below. Roll the cart straight forward a step first:
          then every castor trails as it is drawn.
        </li>
        <li>
          Tape every castor so that it cannot swivel. None may turn until all weighing is done: the
          contact moves by up to twice the trail.
        </li>
        <li>
          Put one scale under each castor, all platforms level and at one height. With fewer scales,
          put blocks of the height of a scale under the other castors and move the scale about.
        </li>
        <li>Leave the wheels free to roll at one end at least.</li>
        <li>
          Read every scale, write it down, take the cart off and put it on again. Three repeats or
          more show how well it repeats.
        </li>
      </ol>
    </details>
  );
}

export function TiltGuide() {
  return (
    <>
      <ul className="sample-cautions" aria-label="Cautions for tilting">
        <li>A tilted cart can fall. Two people, one of them only at the restraint.</li>
        <li>
          Hang a restraint that stops a fall and carries nothing while the scales are read. Nobody
          stands on the lower side.
        </li>
        <li>Fasten or take out what can slide, and stop before anything lifts by itself.</li>
      </ul>
      <details className="sample-guide">
        <summary>How to weigh tilted</summary>
        <ol>
          <li>
            Raise the castors of one end onto blocks. The others stay on their scales, which stay
            level. On a base of five stand it on two castors and raise one; the others hang free and
            read 0.
          </li>
          <li>
            Measure the angle of the cart itself, not the height of the blocks: an inclinometer on
            the base, set to zero while it stood level.
          </li>
          <li>Let one end roll freely: brakes at both ends can hold any force between them.</li>
          <li>
            Read the castors that are not lifted, at three angles or more on the way up, and at the
            same angles on the way down. Friction of the wheels then cancels.
          </li>
          <li>
            Steeper tilts and more of them make the height better known. Stay well below tipping.
          </li>
          <li>
            If there is time, do it all again with the other end lifted, as a weighing of its own:
            both heights should agree.
          </li>
        </ol>
      </details>
    </>
  );
}
