/** Whether the browser can draw in space at all. */

export function canDrawInSpace(): boolean {
  try {
    const context = document.createElement('canvas').getContext('webgl2');
    // a page has few of them: give it back at once
    context?.getExtension('WEBGL_lose_context')?.loseContext();
    return context !== null;
  } catch {
    return false;
  }
}
