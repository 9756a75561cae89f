/** `standstill workbench`: serves the page and the cart files of one folder until it is stopped. */

import { realpath, stat } from 'node:fs/promises';
import { basename, dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import { CAUTIONS } from '../../analysis/index.js';
import type { ServerOptions, WorkbenchServer } from '../../server/index.js';
import {
  CART_NAME_RULE,
  isCartName,
  startServer,
  USUAL_RECORDS,
  WorkbenchError,
} from '../../server/index.js';
import { EXIT } from '../exit-codes.js';
import { reasonOf } from '../files.js';
import { tell } from '../messages.js';
import type { Outcome } from '../outcome.js';
import { bad, fine } from '../outcome.js';
import type { Line, Page, PageWishes } from '../page.js';
import { makePage } from '../page.js';
import { recordPlace } from '../record-place.js';
import { cautionLines, labelled, paragraph, rule, span } from '../sheet.js';
import type { Surroundings } from '../surroundings.js';

export interface WorkbenchWishes extends PageWishes {
  /** undefined: the usual one, or the next that is free; 0: any free one */
  readonly port?: number;
  /** false: --no-open */
  readonly open: boolean;
  /** file or database of the test records; undefined: a file of the folder */
  readonly records?: string;
}

export interface WorkbenchParts {
  /** folder of the built page */
  readonly page: string;
  /** folder of the packaged examples */
  readonly examples: string;
  /** @throws when no browser can be started; calls `failed` when it turns out later */
  readonly openBrowser: (address: string, failed: () => void) => Promise<void>;
}

const ROOT = new URL('../../../', import.meta.url);

const PACKAGED: WorkbenchParts = {
  page: fileURLToPath(new URL('dist/web', ROOT)),
  examples: fileURLToPath(new URL('examples', ROOT)),
  openBrowser: async (address, failed) => {
    const { default: open } = await import('open');
    const started = await open(address);
    started.on('error', failed);
    started.on('exit', (code) => {
      if (code !== 0 && code !== null) failed();
    });
  },
};

/** Always the same, since a browser keeps what a page stores by its port. No service is known to us by
 * this number, and it lies below the ports that systems give out by themselves (from 32768 on). */
const USUAL_PORT = 28_417;
/** Ports tried from the usual one on: one for each workbench that is open at the same time. */
const MOST_TRIED = 20;

/** @param place cart file or folder */
export async function workbench(
  place: string,
  wishes: WorkbenchWishes,
  around: Surroundings,
  parts: WorkbenchParts = PACKAGED,
): Promise<Outcome<number>> {
  const { records = null } = wishes;
  const opened = await openedPlace(place);
  const kept = records === null ? null : recordPlace(records, '--records');
  if (opened.kind === 'bad input') return opened;
  if (kept?.kind === 'bad input') return kept;
  tell(around, kept?.warnings ?? []);
  const onFault = (error: unknown): void => {
    const trace = error instanceof Error ? (error.stack ?? error.message) : String(error);
    tell(around, ['internal error in the workbench:', ...trace.split('\n')]);
  };
  const { page, examples } = parts;
  const { version } = around;
  const options = { ...opened.value, page, examples, records, version, onFault };
  const started = await startedServer(options, place, wishes.port);
  if (started.kind === 'bad input') return started;
  const shown = kept?.value.shown ?? USUAL_RECORDS;
  await served(started.value, { place: opened.value, records: shown, wishes, around, parts });
  return fine(EXIT.holds);
}

interface OpenedPlace {
  readonly folder: string;
  readonly opened: string | null;
}

async function openedPlace(place: string): Promise<Outcome<OpenedPlace>> {
  try {
    const path = await realpath(place);
    const status = await stat(path);
    if (status.isDirectory()) return fine({ folder: path, opened: null });
    const name = basename(path);
    if (!status.isFile()) return bad(`${place}: cannot be opened: it is not an ordinary file`);
    if (isCartName(name)) return fine({ folder: dirname(path), opened: name });
    return bad(
      `${place}: cannot be opened: the file is called ${name}; allowed: ${CART_NAME_RULE}`,
    );
  } catch (error) {
    return bad(`${place}: cannot be opened: ${reasonOf(error)}`);
  }
}

/** @param port undefined: the usual one, or the next that is free */
async function startedServer(
  options: Omit<ServerOptions, 'port'>,
  place: string,
  port: number | undefined,
): Promise<Outcome<WorkbenchServer>> {
  const ports =
    port === undefined ? Array.from({ length: MOST_TRIED }, (_, i) => USUAL_PORT + i) : [port];
  for (const each of ports) {
    try {
      return fine(await startServer({ ...options, port: each }));
    } catch (error) {
      if (!(error instanceof WorkbenchError)) throw error;
      if (error.problem !== 'port taken') return bad(startProblem(error, options, place));
    }
  }
  const what = port === undefined ? `ports ${ports[0]} to ${ports.at(-1)} are` : `${port} is`;
  return bad(`--port: ${what} taken by another program; allowed: a free port, or 0 for any`);
}

function startProblem(
  { problem, cause }: WorkbenchError,
  { page }: Pick<ServerOptions, 'page'>,
  place: string,
): string {
  if (problem === 'folder') return `${place}: cannot be opened: ${reasonOf(cause)}`;
  return `${page}: the page of the workbench is not built; in a clone build it first: npm run build`;
}

interface Serving {
  readonly place: OpenedPlace;
  /** place of the test records, as it may be shown */
  readonly records: string;
  readonly wishes: WorkbenchWishes;
  readonly around: Surroundings;
  readonly parts: WorkbenchParts;
}

async function served(server: WorkbenchServer, serving: Serving): Promise<void> {
  const { wishes, around, parts } = serving;
  const stopped = new Promise<void>((resolve) => {
    around.onStop(() => {
      tell(around, ['stopping']);
      resolve();
    });
  });
  const page = makePage(wishes, around);
  around.out(page.print(sheet(page, server, serving)));
  if (wishes.open && hasBrowser(around)) await openedPage(server, around, parts);
  await stopped;
  await server.close();
}

const LABELS = { indent: 2, label: 11 };

/** The address has no space in it, so it is never broken: it can be copied, or clicked. */
function sheet(page: Page, { address }: WorkbenchServer, serving: Serving): Line[] {
  const { folder, opened } = serving.place;
  return [
    [span(page, 'Workbench', 'strong')],
    rule(page),
    ...paragraph(page, 'Open in a browser of this machine:'),
    [],
    [span(page, `  ${address}`, 'strong')],
    [],
    ...labelled(page, 'cart files', folder, LABELS),
    ...(opened === null ? [] : labelled(page, 'opens', opened, LABELS)),
    ...labelled(page, 'records', serving.records, LABELS),
    ...labelled(page, 'stop', 'Ctrl-C; what was typed and not saved is kept as drafts', LABELS),
    ...labelled(page, 'key', 'whoever has the address can change these files: keep it', LABELS),
    ...cautionLines(page, CAUTIONS),
  ];
}

function isSet(value: string | undefined): boolean {
  return value !== undefined && value !== '';
}

/** Whether somebody sits before this machine, as far as it can be seen. */
function hasBrowser({ environment, platform }: Surroundings): boolean {
  const { CI, DISPLAY, WAYLAND_DISPLAY, WSL_DISTRO_NAME } = environment;
  if (isSet(CI) && CI !== 'false') return false;
  if (platform === 'win32' || platform === 'darwin') return true;
  return [DISPLAY, WAYLAND_DISPLAY, WSL_DISTRO_NAME].some(isSet);
}

async function openedPage(
  server: WorkbenchServer,
  around: Surroundings,
  { openBrowser }: WorkbenchParts,
): Promise<void> {
  const failed = () => tell(around, ['no browser could be opened: open the address yourself']);
  try {
    await openBrowser(server.onceAddress(), failed);
  } catch {
    failed();
  }
}
