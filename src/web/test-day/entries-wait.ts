/** Whether entries of a test day wait in this browser, told without loading what a test day needs. */

const WAITING = 'standstill records wait';

export function entriesWait(): boolean {
  try {
    return localStorage.getItem(WAITING) !== null;
  } catch {
    return false;
  }
}

/** @param storage that of the browser */
export function tellWaiting(storage: Pick<Storage, 'setItem' | 'removeItem'>, some: boolean): void {
  try {
    if (some) storage.setItem(WAITING, 'yes');
    else storage.removeItem(WAITING);
  } catch {
    // no room: the next page finds them when its test day is opened
  }
}
