/** The address of a PostgreSQL database, and why one cannot be reached, in words without a password. */

export interface DatabaseAddress {
  /** as the driver takes it */
  readonly url: string;
  /** as it may be shown: without a password */
  readonly shown: string;
  /** a password stands in it */
  readonly holdsPassword: boolean;
  /** what is sent may be read on the way: no TLS, to another machine */
  readonly open: boolean;
}

const FORM = 'postgres://USER@HOST:PORT/DATABASE';
/** Words of `sslmode` that check the server's certificate here. The driver's own reading of the first
 * two will change with its next version; checking is the safe one. */
const CHECKED = ['require', 'verify-ca', 'verify-full'];
const UNCHECKED = ['disable', 'no-verify'];

function isThisMachine(host: string): boolean {
  return host === '' || host.startsWith('/') || /^(localhost|127\.\d+\.\d+\.\d+|::1)$/.test(host);
}

/** A URL without a host (a socket of this machine) is one that the standard parser refuses. */
function parsed(text: string): URL | null {
  if (!/^postgres(ql)?:\/\//.test(text)) return null;
  return URL.parse?.(text) ?? parsedWithHost(text.replace('@/', '@localhost/'));
}

function parsedWithHost(text: string): URL | null {
  try {
    return new URL(text);
  } catch {
    return null;
  }
}

/** A % that begins no code stands for itself. */
function decoded(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}

function shownForm(url: URL): string {
  const host = url.searchParams.get('host') ?? url.host;
  const user = url.username === '' ? '' : `${decoded(url.username)}@`;
  return `postgres://${user}${host}${url.pathname === '/' ? '' : url.pathname}`;
}

export type ReadAddress =
  | { readonly kind: 'ok'; readonly value: DatabaseAddress }
  /** a sentence that does not repeat the address: a password may stand anywhere in it */
  | { readonly kind: 'invalid'; readonly problem: string };

export function readAddress(text: string): ReadAddress {
  const url = parsed(text);
  if (url === null) {
    return { kind: 'invalid', problem: `this is not the address of a database; allowed: ${FORM}` };
  }
  const mode = url.searchParams.get('sslmode');
  if (mode !== null && ![...CHECKED, ...UNCHECKED].includes(mode)) {
    const allowed = [...CHECKED, ...UNCHECKED].join(', ');
    return { kind: 'invalid', problem: `the address has sslmode ${mode}; allowed: ${allowed}` };
  }
  const checked = mode !== null && CHECKED.includes(mode);
  const host = url.searchParams.get('host') ?? url.hostname.replace(/^\[(.*)\]$/, '$1');
  const encrypted = checked || mode === 'no-verify' || url.searchParams.get('ssl') === 'true';
  return {
    kind: 'ok',
    value: {
      url: checked ? text.replace(`sslmode=${mode}`, 'sslmode=verify-full') : text,
      shown: shownForm(url),
      holdsPassword: url.password !== '' || url.searchParams.has('password'),
      open: !encrypted && !isThisMachine(host),
    },
  };
}

/** What a failed statement means for whoever waits for the database. */
export type DatabaseTrouble =
  /** it does not answer, and may again: nothing was decided */
  | { readonly kind: 'away'; readonly reason: string }
  /** it answered no; trying again will not help */
  | { readonly kind: 'refused'; readonly reason: string }
  /** no answer of a database at all: a fault of the program */
  | { readonly kind: 'other' };

/** Of the operating system and of Node, but for the last. */
const AWAY: Readonly<Record<string, string>> = {
  ECONNREFUSED: 'no server answers there',
  ECONNRESET: 'the connection was reset',
  EPIPE: 'the connection was closed',
  ETIMEDOUT: 'the server does not answer',
  EHOSTUNREACH: 'the machine cannot be reached',
  ENETUNREACH: 'the network cannot be reached',
  EAI_AGAIN: 'the name of the machine cannot be looked up at present',
  ENOENT: 'no server listens at that socket',
  // SQLSTATE. Of two statements that wait for each other the server ends one; it can be tried again.
  '40P01': 'the server put a statement off',
  '40001': 'the server put a statement off',
};

const REFUSED: Readonly<Record<string, string>> = {
  ENOTFOUND: 'there is no machine of that name',
  EACCES: 'this account may not use the socket',
  DEPTH_ZERO_SELF_SIGNED_CERT:
    "the server's certificate is its own; name its authority with sslrootcert=FILE",
  SELF_SIGNED_CERT_IN_CHAIN:
    "the authority of the server's certificate is not known; name it with sslrootcert=FILE",
  UNABLE_TO_VERIFY_LEAF_SIGNATURE:
    "the authority of the server's certificate is not known; name it with sslrootcert=FILE",
  ERR_TLS_CERT_ALTNAME_INVALID: "the server's certificate is for another machine's name",
  CERT_HAS_EXPIRED: "the server's certificate has expired",
  // SQLSTATE, PostgreSQL documentation, appendix A.
  '28P01': 'the user or the password is wrong',
  '28000': 'the server does not let this user in',
  '3D000': 'there is no database of that name',
  '42501': 'the user lacks a right',
  '25006': 'the database is read-only',
  '53100': "the server's disk is full",
};

/** SQLSTATE: connection exceptions, too many connections, and a server that stops or starts. */
const AWAY_STATE = /^(08...|53300|57P0[123])$/;
/** Messages of the driver that come without a code. */
const AWAY_MESSAGE =
  /^(Connection terminated|timeout exceeded when trying to connect|timeout expired|Client has encountered a connection error)/;

/** The driver's code, of the operating system or SQLSTATE; '': it has none. */
export function codeOf(error: unknown): string {
  const code = typeof error === 'object' && error !== null && 'code' in error ? error.code : '';
  return typeof code === 'string' ? code : '';
}

/** The server's own words, which name the role, database or table. */
function withDetail(reason: string, code: string, error: unknown): string {
  const said = /^\w{5}$/.test(code) && error instanceof Error ? ` (${error.message})` : '';
  return reason + said;
}

/** A certificate or key that the address names. */
function unreadableFile(error: unknown): DatabaseTrouble | null {
  if (!(error instanceof Error && 'syscall' in error && error.syscall === 'open')) return null;
  const path = 'path' in error ? String(error.path) : '';
  return { kind: 'refused', reason: `${path} cannot be read (${codeOf(error)})` };
}

export function databaseTrouble(error: unknown): DatabaseTrouble {
  const unreadable = unreadableFile(error);
  if (unreadable !== null) return unreadable;
  const code = codeOf(error);
  const away = AWAY[code];
  if (away !== undefined) return { kind: 'away', reason: away };
  const refused = REFUSED[code];
  if (refused !== undefined) return { kind: 'refused', reason: withDetail(refused, code, error) };
  if (!(error instanceof Error)) return { kind: 'other' };
  if (AWAY_STATE.test(code)) {
    return { kind: 'away', reason: `the server takes no work at present (${error.message})` };
  }
  if (AWAY_MESSAGE.test(error.message)) return { kind: 'away', reason: 'the connection was lost' };
  if (/^SASL: .*client password must be/.test(error.message)) {
    const allowed = 'in the address, in PGPASSWORD or in a password file of PostgreSQL';
    return {
      kind: 'refused',
      reason: `the server asks for a password, and none is given; allowed: ${allowed}`,
    };
  }
  if (/^SASL: /.test(error.message)) {
    return {
      kind: 'refused',
      reason: `no agreement with the server on how to log in (${error.message})`,
    };
  }
  if (/does not support SSL/.test(error.message)) {
    return { kind: 'refused', reason: 'the server offers no TLS, which the address asks for' };
  }
  return { kind: 'other' };
}
