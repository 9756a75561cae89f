import { ensurePage } from '../../scripts/page.mjs';

export function setup(): void {
  ensurePage();
}
