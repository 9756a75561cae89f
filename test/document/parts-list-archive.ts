/** Archives as an attacker would make them: every stated size is the test's to choose. */

interface Entry {
  readonly name: string;
  /** stored as it is */
  readonly text?: string;
  readonly bytes?: Uint8Array;
  /** stored as packed already */
  readonly deflated?: Uint8Array;
  /** what the directory states, where it is not the length */
  readonly size?: number;
}

export function archive(entries: readonly Entry[]): Uint8Array {
  const local: Uint8Array[] = [];
  const directory: Uint8Array[] = [];
  let offset = 0;
  for (const entry of entries) {
    const name = new TextEncoder().encode(entry.name);
    const packed = entry.deflated ?? entry.bytes ?? new TextEncoder().encode(entry.text ?? '');
    const head = record(30, [
      [0, 0x04034b50, 4],
      [26, name.length, 2],
    ]);
    const listed = record(46, [
      [0, 0x02014b50, 4],
      [10, entry.deflated === undefined ? 0 : 8, 2],
      [16, entry.deflated === undefined ? crc32(packed) : 0, 4],
      [20, packed.length, 4],
      [24, entry.size ?? packed.length, 4],
      [28, name.length, 2],
      [42, offset, 4],
    ]);
    local.push(head, name, packed);
    directory.push(listed, name);
    offset += head.length + name.length + packed.length;
  }
  const end = record(22, [
    [0, 0x06054b50, 4],
    [8, entries.length, 2],
    [10, entries.length, 2],
    [12, sizeOf(directory), 4],
    [16, offset, 4],
  ]);
  return joined([...local, ...directory, end]);
}

/** So many spaces, packed. */
export async function deflated(size: number): Promise<{ packed: Uint8Array; size: number }> {
  const chunk = new Uint8Array(1_000_000).fill(0x20);
  const stream = new CompressionStream('gzip');
  const writer = stream.writable.getWriter();
  const packed = new Response(stream.readable).arrayBuffer();
  for (let left = size; left > 0; left -= chunk.length) {
    await writer.write(chunk.subarray(0, Math.min(left, chunk.length)));
  }
  await writer.close();
  // without the 10 bytes before and the 8 after, that make it gzip
  return { packed: new Uint8Array(await packed).slice(10, -8), size };
}

/** The same archive with a field of every entry of the directory changed. */
export function patched(bytes: Uint8Array, { flags }: { flags: number }): Uint8Array {
  const copy = bytes.slice();
  const view = new DataView(copy.buffer);
  const end = copy.length - 22;
  let at = view.getUint32(end + 16, true);
  for (let i = 0; i < view.getUint16(end + 10, true); i += 1) {
    view.setUint16(at + 8, flags, true);
    at += 46 + view.getUint16(at + 28, true) + view.getUint16(at + 30, true);
  }
  return copy;
}

function record(
  length: number,
  fields: readonly (readonly [number, number, number])[],
): Uint8Array {
  const bytes = new Uint8Array(length);
  const view = new DataView(bytes.buffer);
  for (const [offset, value, size] of fields) {
    if (size === 2) view.setUint16(offset, value, true);
    else view.setUint32(offset, value, true);
  }
  return bytes;
}

function sizeOf(pieces: readonly Uint8Array[]): number {
  return pieces.reduce((sum, piece) => sum + piece.length, 0);
}

function joined(pieces: readonly Uint8Array[]): Uint8Array {
  const all = new Uint8Array(sizeOf(pieces));
  let at = 0;
  for (const piece of pieces) {
    all.set(piece, at);
    at += piece.length;
  }
  return all;
}

function crc32(bytes: Uint8Array): number {
  let crc = 0xffff_ffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit += 1) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb8_8320 : 0);
  }
  return (crc ^ 0xffff_ffff) >>> 0;
}
