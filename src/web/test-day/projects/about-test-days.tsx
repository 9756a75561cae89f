/** What a test day is and what it needs, for who comes here first. */

export function AboutTestDays() {
  return (
    <aside className="projects-about-days" aria-labelledby="about-days">
      <h2 id="about-days">What a test day is</h2>
      <p>
        The workbench predicts. A test day shows whether the prediction is true: the cart that was
        built is weighed, stood on a ramp and pulled with a force gauge, and what was read is kept
        with who, when and with which instrument.
      </p>
      <ol>
        <li>Plan: the runs, each with its set-up card and what the model predicts.</li>
        <li>Sample and instruments: what is tested, and with what.</li>
        <li>Runs: readings, movements, photos, force gauge files.</li>
        <li>Results: pass, fail or not decided, with the measurement uncertainty.</li>
        <li>After a failure: the change, a new revision of the cart, and the retest.</li>
      </ol>
      <p>Nothing is deleted. A correction is a new entry with its reason.</p>
      <h3>What it needs</h3>
      <ul>
        <li>A restraint that catches the cart before it falls, in every run that may tip it.</li>
        <li>A second person, and nobody in the way it would fall.</li>
        <li>Instruments in calibration; the plan says which, and how fine.</li>
        <li>A qualified person who decides and signs. The program does neither.</li>
      </ul>
    </aside>
  );
}
