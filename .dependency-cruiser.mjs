/**
 * Who may import whom. Each room's row says what it may use of the project and of npm; everything else is
 * forbidden to it. `tests/house/boundaries.test.ts` proves that each rule catches what it should, and that
 * the check has seen every file.
 */

/** A figure is known, or unknown for a reason: the reasons belong to its type. */
const UNITS_AND_FIGURE = '^server/calc/(units|figure|unknown-reason)[.]ts$';
const CONTRACT = '^server/contract/';
const PORTS = '^server/ports/';
const CALC = '^server/calc/';
const NODE_ITSELF = '^(node:)?[a-z_/]+$';

/** @type {readonly Room[]} */
const ROOMS = [
  {
    name: 'calc',
    reason: 'Arithmetic stands alone, so that every number can be checked by hand.',
    uses: [],
  },
  {
    name: 'contract',
    reason: 'What crosses to the browser must not drag the server with it.',
    uses: [UNITS_AND_FIGURE],
    packages: ['typebox', 'temporal-polyfill'],
  },
  {
    name: 'line',
    reason: 'The line is computed without clock, chance or I/O, so that a shift replays in seconds.',
    uses: [CALC],
    typesOf: [CONTRACT],
  },
  {
    name: 'alarms',
    reason:
      'Alarms are computed without clock, chance or I/O, so that last month can be asked what a new limit would do.',
    uses: [CALC],
    typesOf: [CONTRACT],
  },
  {
    name: 'machines',
    reason:
      'Drift is computed without clock, chance or I/O, so that a repair planned from it can be explained.',
    uses: [CALC],
    typesOf: [CONTRACT],
  },
  {
    name: 'ports',
    reason: 'A port is a promise in types; a promise that runs code is an implementation.',
    uses: [],
    typesOf: [CONTRACT],
  },
  {
    name: 'field',
    reason: 'The way to the plant knows its port and nothing of what is done with the readings.',
    uses: [PORTS, CONTRACT],
    packages: ['node-opcua'],
    usesNode: true,
  },
  {
    name: 'history',
    reason: 'The store of samples is one of several that fit the port; nobody may lean on this one.',
    uses: [PORTS, CONTRACT],
    packages: ['hyparquet-writer'],
    usesNode: true,
  },
  {
    name: 'records',
    reason: 'The store of records is one of several that fit the port; nobody may lean on this one.',
    uses: [PORTS, CONTRACT],
    packages: ['typebox'],
    usesNode: true,
  },
  {
    name: 'reports',
    reason:
      'A report is made from the two stores through their ports, so that it reads the same from any of them.',
    uses: [CALC, CONTRACT, PORTS],
    packages: ['temporal-polyfill'],
  },
  {
    name: 'publish',
    reason: 'Our own OPC UA face shows figures; it must not reach back to the plant.',
    uses: [PORTS, CONTRACT],
    packages: ['node-opcua'],
    usesNode: true,
  },
  {
    name: 'config',
    reason: 'A configuration is text checked against the contract; what it starts is for main to say.',
    uses: [CONTRACT],
    packages: ['typebox', 'yaml'],
    usesNode: true,
  },
  {
    name: 'study',
    reason:
      'What was is asked of the same rules as live, through the ports; whoever studies the past touches nothing of the present.',
    uses: [CALC, CONTRACT, PORTS, '^server/(alarms|config|line)/'],
    usesNode: true,
  },
  {
    name: 'condition',
    reason:
      'Machines are judged from what is recorded, through the ports, in a thread that no tick waits for; it never touches the plant.',
    uses: [CALC, CONTRACT, PORTS, '^server/machines/'],
    usesNode: true,
  },
  {
    name: 'web',
    reason:
      'The web serves what the ports give; a page that reached deeper could not be tested without a plant.',
    uses: [CONTRACT, PORTS],
    packages: ['fastify', '@fastify/[a-z-]+', 'socket.io', 'socket.io-parser', 'typebox', 'pino'],
    usesNode: true,
  },
  {
    name: 'commands',
    reason: 'A command is a thin use of the rooms; main would start the whole house.',
    uses: ['^server/(?!main[.]|launch/)'],
    packages: ['pino', 'typebox', 'yaml'],
    usesNode: true,
  },
];

/**
 * @typedef {import('dependency-cruiser').IRegularForbiddenRuleType} Rule
 *
 * @typedef {object} Room
 * @property {string} name the folder below server/
 * @property {string} reason
 * @property {readonly string[]} uses
 * @property {readonly string[]} [typesOf] what it may import types from, and nothing that runs
 * @property {readonly string[]} [packages]
 * @property {boolean} [usesNode]
 */

/** Packages that a single place may use, so that changing one is changing that place. */
const KEEPERS = [
  {
    name: 'fastify',
    packages: ['fastify', '@fastify/.+', 'socket[.]io', 'socket[.]io-parser'],
    keeper: '^server/web/',
    reason: 'The web framework and the socket server are known to the web room alone.',
  },
  {
    name: 'node-opcua',
    packages: ['node-opcua.*'],
    keeper: '^(server/(field|publish)|simulator)/',
    reason: 'OPC UA has two doors, in and out, and the simulated plant.',
  },
  {
    name: 'socket-client',
    packages: ['socket[.]io-client'],
    keeper: '^client/live/',
    reason: 'One place turns the live socket into the store that screens read.',
  },
  {
    name: 'uplot',
    packages: ['uplot'],
    keeper: '^client/charts/',
    reason: 'Screens ask for a chart in our words; the chart library is known to charts alone.',
  },
];

/** @param {readonly string[]} packages */
const packagePattern = (packages) => `node_modules/(${packages.join('|')})(/|$)`;

const VITE_CONFIG = '^client/vite[.]config[.]ts$';

/**
 * @param {Room} room
 * @returns {Rule[]}
 */
function roomRules({ name, reason, uses, typesOf = [], packages = [], usesNode = false }) {
  const from = { path: `^server/${name}/` };
  const npm = packages.length === 0 ? [] : [packagePattern(packages)];
  const allowed = [from.path, ...uses, ...typesOf, ...npm, ...(usesNode ? [NODE_ITSELF] : [])];
  const imports = { name: `${name}-imports`, comment: reason, from, to: { pathNot: allowed } };
  if (typesOf.length === 0) return [imports];
  return [
    imports,
    {
      name: `${name}-imports-only-types-there`,
      comment: reason,
      from,
      to: { path: [...typesOf], dependencyTypesNot: ['type-only'] },
    },
  ];
}

/** @type {Rule[]} */
const keeperRules = KEEPERS.map(({ name, packages, keeper, reason }) => ({
  name: `${name}-has-a-keeper`,
  comment: reason,
  from: { pathNot: keeper },
  to: { path: packagePattern(packages) },
}));

/** @type {Rule[]} */
const houseRules = [
  {
    name: 'launch-imports',
    comment: 'The launch scripts run before anything is installed.',
    from: { path: '^server/launch/' },
    to: { pathNot: ['^server/launch/', NODE_ITSELF] },
  },
  {
    name: 'nobody-imports-main',
    comment: 'Main is where the house is put together; whoever imports it would start it.',
    from: {},
    to: { path: '^(server|simulator)/main[.]ts$' },
  },
  {
    name: 'pipeline-is-for-main-and-commands',
    comment: 'Rooms are used by the pipeline and know nothing of it.',
    from: { pathNot: '^server/(main[.]ts|pipeline[.]ts|pipeline/|commands/)' },
    to: { path: '^server/pipeline([.]ts|/)' },
  },
  {
    name: 'server-stays-in-server',
    comment: 'The server ships without client, simulator and tests.',
    from: { path: '^server/' },
    to: { path: '^(client|simulator|tests)/' },
  },
  {
    name: 'client-imports',
    comment: 'The browser gets what crosses by contract, and the units; never the server.',
    from: { path: '^client/', pathNot: VITE_CONFIG },
    to: { path: '^(server|simulator|tests)/', pathNot: [CONTRACT, UNITS_AND_FIGURE] },
  },
  {
    name: 'client-runs-in-a-browser',
    comment: 'There is no Node where the pages run.',
    from: { path: '^client/', pathNot: VITE_CONFIG },
    to: { dependencyTypes: ['core'] },
  },
  {
    name: 'simulator-imports',
    comment:
      'The plant does not know the answers, so comparing both is a real test: it shares the units alone.',
    from: { path: '^simulator/' },
    to: { path: '^(server|client|tests)/', pathNot: '^server/calc/units[.]ts$' },
  },
  {
    name: 'no-circles',
    comment:
      'Of files that run each other none can run first. A type may point back to where it is explained.',
    from: {},
    to: { circular: true, viaOnly: { dependencyTypesNot: ['type-only'] } },
  },
  {
    name: 'nothing-unresolved',
    comment: 'An import that leads nowhere fails only when it is reached.',
    from: {},
    to: { couldNotResolve: true },
  },
  {
    name: 'only-listed-packages',
    comment: 'A package that is there because another brought it may be gone tomorrow.',
    from: {},
    to: { dependencyTypes: ['npm-no-pkg', 'npm-unknown'] },
  },
  {
    name: 'shipped-code-uses-shipped-packages',
    comment: 'A package for development is not there when the plant runs.',
    from: { path: '^(server|client|simulator)/', pathNot: VITE_CONFIG },
    to: { dependencyTypes: ['npm-dev'], dependencyTypesNot: ['type-only'] },
  },
];

/** @type {import('dependency-cruiser').IConfiguration} */
export default {
  forbidden: [...ROOMS.flatMap(roomRules), ...keeperRules, ...houseRules].map((rule) => ({
    severity: /** @type {const} */ ('error'),
    ...rule,
  })),
  options: {
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    doNotFollow: { path: 'node_modules' },
    exclude: { path: '^client/dist/' },
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'node', 'default', 'types'],
    },
  },
};
