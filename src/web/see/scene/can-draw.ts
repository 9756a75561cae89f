/** Whether the browser can draw in space at all, and with what. */

/** 'processor': without a graphics card, where smooth edges cost half of the frames of a drag. */
export type Drawer = 'none' | 'processor' | 'graphics card';

export function drawerInSpace(): Drawer {
  try {
    const context = document.createElement('canvas').getContext('webgl2');
    if (context === null) return 'none';
    const named = context.getExtension('WEBGL_debug_renderer_info');
    const name = named === null ? '' : context.getParameter(named.UNMASKED_RENDERER_WEBGL);
    // a page has few of them: give it back at once
    context.getExtension('WEBGL_lose_context')?.loseContext();
    return /swiftshader|llvmpipe|software|basic render/i.test(String(name))
      ? 'processor'
      : 'graphics card';
  } catch {
    return 'none';
  }
}
