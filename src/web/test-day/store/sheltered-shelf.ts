/**
 * A shelf that goes on in memory where the browser keeps nothing (storage full or forbidden): what is written
 * can still be sent, and whoever writes is told that it is lost with the page until then.
 */

import type { LocalFile, LocalShelf, PendingEntry } from './local-shelf.js';

/** @param held told how many entries are in memory alone, whenever that may have changed */
export function shelteredShelf(kept: LocalShelf, held: (entries: number) => void): LocalShelf {
  const pending = new Map<string, PendingEntry>();
  const files = new Map<string, LocalFile>();

  /** What the shelf says, or `instead` where it cannot. */
  async function orElse<T>(ask: () => Promise<T>, instead: () => T): Promise<T> {
    try {
      return await ask();
    } catch {
      return instead();
    }
  }

  return {
    async pending() {
      const onDisk = await orElse(kept.pending, () => []);
      const later = onDisk.filter(({ entry }) => !pending.has(entry.id));
      return [...later, ...pending.values()].sort((a, b) => a.order - b.order);
    },
    async putPending(each) {
      await orElse(
        async () => {
          await kept.putPending(each);
          pending.delete(each.entry.id);
        },
        () => void pending.set(each.entry.id, each),
      );
      held(pending.size);
    },
    async dropPending(ids) {
      const onDisk = ids.filter((id) => !pending.delete(id));
      held(pending.size);
      if (onDisk.length > 0) await kept.dropPending(onDisk);
    },
    async putFile(file) {
      await orElse(
        () => kept.putFile(file),
        () => void files.set(file.hash, file),
      );
    },
    async file(hash) {
      return (
        files.get(hash) ??
        (await orElse(
          () => kept.file(hash),
          () => null,
        ))
      );
    },
    async dropFiles(hashes) {
      for (const hash of hashes) files.delete(hash);
      // one too many takes room and does no harm
      await orElse(
        () => kept.dropFiles(hashes),
        () => {},
      );
    },
    async fileHashes() {
      return [...new Set([...(await orElse(kept.fileHashes, () => [])), ...files.keys()])];
    },
    seen: (project) =>
      orElse(
        () => kept.seen(project),
        () => [],
      ),
    see: (entries) =>
      orElse(
        () => kept.see(entries),
        () => {},
      ),
  };
}
