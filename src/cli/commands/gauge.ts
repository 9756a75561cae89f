import { GREATEST_GAUGE_FILE, readGaugeFile, readTrace } from '../../metrology/index.js';
import type { UnitSystem } from '../../units/index.js';
import { EXIT } from '../exit-codes.js';
import { readText } from '../files.js';
import { gaugeJson } from '../gauge-json.js';
import type { Outcome } from '../outcome.js';
import { bad, fine } from '../outcome.js';
import type { PageWishes } from '../page.js';
import { makePage } from '../page.js';
import { gaugeSheet } from '../sheets/gauge.js';
import type { Surroundings } from '../surroundings.js';

export interface GaugeWishes extends PageWishes {
  readonly units: UnitSystem;
  readonly json: boolean;
}

/** What a trace does not tell is exit code 3: a script must not take it for a load that was held. */
export async function gauge(
  file: string,
  wishes: GaugeWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  const text = await readText(file, GREATEST_GAUGE_FILE);
  if (text.kind === 'bad input') return text;
  const read = readGaugeFile(text.value, file);
  if (read.kind === 'refused') return bad(...read.issues.map(({ message }) => message));
  const { trace, warnings } = read;
  const reading = readTrace(trace);
  if (wishes.json) {
    around.out(gaugeJson({ file, trace, reading }, around.version));
  } else {
    const page = makePage(wishes, around);
    around.out(page.print(gaugeSheet(page, { file, trace, reading, units: wishes.units })));
  }
  return fine(reading.onset.kind === 'not judged' ? EXIT.notDecided : EXIT.holds, warnings);
}
