// The layers of src and the one way that imports may run between them. Type imports count.

/** Layer -> the layers it may import, always through their index. */
const arrows = {
  kernel: [],
  units: [],
  engine: ['kernel'],
  document: ['units'],
  requirements: ['units'],
  analysis: ['kernel', 'units', 'engine', 'document', 'requirements'],
  chance: ['kernel'],
  remedies: ['kernel', 'units', 'document', 'requirements', 'analysis'],
  tolerances: ['kernel', 'chance', 'units', 'document', 'requirements', 'analysis'],
  studies: ['kernel', 'units', 'document', 'requirements', 'analysis'],
  metrology: ['units'],
  'test-plan': ['kernel', 'units', 'engine', 'document', 'requirements', 'analysis', 'metrology'],
  'test-record': ['units', 'document', 'requirements', 'analysis', 'metrology', 'test-plan'],
  judgement: [
    'kernel',
    'units',
    'engine',
    'document',
    'requirements',
    'analysis',
    'remedies',
    'metrology',
    'test-plan',
    'test-record',
  ],
  database: [],
  'study-runs': ['database', 'units', 'document', 'requirements', 'analysis', 'studies'],
  'record-store': ['database', 'test-record'],
  figure: ['units', 'document', 'analysis', 'metrology', 'test-plan'],
  server: ['document', 'test-record', 'record-store'],
  web: [
    'units',
    'document',
    'requirements',
    'analysis',
    'remedies',
    'tolerances',
    'figure',
    'metrology',
    'test-plan',
    'test-record',
    'judgement',
  ],
  cli: [
    'units',
    'engine',
    'document',
    'requirements',
    'analysis',
    'remedies',
    'tolerances',
    'studies',
    'study-runs',
    'figure',
    'metrology',
    'test-plan',
    'test-record',
    'judgement',
    'database',
    'record-store',
    'server',
  ],
};

const edges = ['database', 'study-runs', 'record-store', 'server', 'web', 'cli'];
const pure = Object.keys(arrows).filter((layer) => !edges.includes(layer));

/** One rule a layer: whatever it imports inside src is its own or an allowed layer's. */
function arrowRules() {
  return Object.entries(arrows).map(([layer, allowed]) => ({
    name: `${layer}-imports`,
    comment: `src/${layer} may import ${allowed.join(', ') || 'no other layer'}.`,
    severity: 'error',
    from: { path: `^src/${layer}/` },
    to: { path: '^src/', pathNot: `^src/(${[layer, ...allowed].join('|')})/` },
  }));
}

/** @type {import('dependency-cruiser').IConfiguration} */
module.exports = {
  forbidden: [
    ...arrowRules(),
    {
      name: 'known-layers-only',
      comment: 'Every source file belongs to a layer of the map above.',
      severity: 'error',
      from: { path: '^src/', pathNot: `^src/(${Object.keys(arrows).join('|')})/` },
      to: {},
    },
    {
      name: 'index-only',
      comment:
        "A layer is entered through its index, never by another layer's inside. A page needs the style sheet of the figures besides.",
      severity: 'error',
      from: { path: '^src/([^/]+)/' },
      to: {
        path: '^src/',
        pathNot: ['^src/$1/', '^src/[^/]+/index\\.ts$', '^src/figure/figure\\.css$'],
      },
    },
    {
      name: 'no-cycles',
      comment: 'No cycles, type imports included.',
      severity: 'error',
      from: {},
      to: { circular: true },
    },
    {
      name: 'resolvable',
      severity: 'error',
      from: {},
      to: { couldNotResolve: true },
    },
    {
      name: 'no-runtime-in-pure-layers',
      comment: 'Pure layers run anywhere: no Node modules.',
      severity: 'error',
      from: { path: `^src/(${pure.join('|')})/` },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'mechanics-stand-alone',
      comment: 'Kernel and engine use no package at all.',
      severity: 'error',
      from: { path: '^src/(kernel|engine)/' },
      to: { dependencyTypes: ['npm', 'npm-dev', 'npm-optional', 'npm-peer'] },
    },
    {
      name: 'no-dev-packages-in-src',
      comment:
        'What src imports must be among the dependencies that users install; the page is bundled.',
      severity: 'error',
      from: { path: '^src/', pathNot: '^src/web/' },
      to: { dependencyTypes: ['npm-dev', 'npm-no-pkg', 'npm-unknown'] },
    },
    {
      name: 'src-knows-no-tests',
      severity: 'error',
      from: { path: '^src/' },
      to: { path: '^(test|bench|campaign|scripts)/' },
    },
    {
      name: 'references-stand-alone',
      comment: 'A reference solution that used the engine would only agree with itself.',
      severity: 'error',
      from: { path: '^test/reference/' },
      to: { path: '^src/' },
    },
  ],
  options: {
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.base.json' },
    doNotFollow: { path: 'node_modules' },
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'node', 'default', 'types'],
    },
  },
};
