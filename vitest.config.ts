import { playwright } from '@vitest/browser-playwright';
import { defineConfig } from 'vitest/config';
import { findChromium } from './scripts/chromium.mjs';

const executablePath = findChromium();

/** Long random runs: they say nothing more in a browser than in Node, and others of their layers say that
 * no runtime is needed. */
const LONG = [
  'test/engine/{holding-bound,holding-worst,overturning}.test.ts',
  'test/tolerances/assess.test.ts',
  'test/document/mutated-cart-file.test.ts',
  'test/metrology/{slip-onset,weighing}.test.ts',
  'test/remedies/{closed-forms,lock-layouts}.test.ts',
  'test/test-record/record-random.test.ts',
  'test/requirements/requirement-file-random.test.ts',
];

// Every project runs the same sources; the browser one proves that the pure layers need no runtime.
export default defineConfig({
  test: {
    passWithNoTests: false,
    projects: [
      {
        test: {
          name: 'node',
          environment: 'node',
          include: ['test/**/*.test.{ts,tsx}'],
          exclude: ['test/page/**'],
          // only to end what hangs: a whole check of six castors takes a quarter of it
          testTimeout: 60_000,
        },
      },
      {
        // The workbench from end to end: the built page, its server, a browser.
        test: {
          name: 'page',
          environment: 'node',
          include: ['test/page/**/*.test.ts'],
          globalSetup: ['test/page/build-page.ts'],
          testTimeout: 60_000,
          hookTimeout: 60_000,
          // a page on a busy machine takes its time; what never comes still fails
          expect: { poll: { timeout: 15_000 } },
        },
      },
      {
        // Named here, since a package found while tests run makes the server reload the page.
        optimizeDeps: {
          include: [
            '@noble/hashes/sha2.js',
            '@noble/hashes/utils.js',
            '@stdlib/stats-base-dists-beta-quantile',
            '@stdlib/stats-base-dists-normal-cdf',
            '@stdlib/stats-base-dists-normal-quantile',
            '@stdlib/stats-base-dists-t-cdf',
            '@stdlib/stats-base-dists-t-quantile',
            'csv-parse/browser/esm/sync',
            'd3-scale',
            'd3-shape',
            'fast-check',
            'hucre/xlsx',
            'ml-matrix',
            'pure-rand/distribution/uniformFloat64',
            'pure-rand/generator/xoroshiro128plus',
            'react',
            'react/jsx-dev-runtime',
            'react-dom/server',
            'unitmath',
            'yaml',
            'zod',
          ],
        },
        test: {
          name: 'browser',
          include: [
            'test/{kernel,units,engine,document,requirements,analysis,chance,remedies,tolerances,studies,metrology,test-plan,test-record,judgement,figure,reference}/**/*.test.{ts,tsx}',
          ],
          exclude: ['**/*.node.test.{ts,tsx}', ...LONG],
          testTimeout: 30_000,
          browser: {
            enabled: true,
            headless: true,
            screenshotFailures: false,
            provider: playwright({
              launchOptions: {
                args: ['--no-sandbox'],
                ...(executablePath === undefined ? {} : { executablePath }),
              },
            }),
            instances: [{ browser: 'chromium' }],
          },
        },
      },
    ],
  },
});
