// The worker thread of a study from its TypeScript source: Node's threads do not take the loader of
// the process that starts them.
import { tsImport } from 'tsx/esm/api';

const worker = await tsImport('../../src/study-runs/study-worker.ts', import.meta.url);

export const { screen, prove } = worker;
