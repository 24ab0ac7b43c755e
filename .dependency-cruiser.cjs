/** Who may import whom. Each rule's comment is printed when it is broken: it says why, and where the thing belongs. */
const ROOMS = {
  ground: '^(firmware-protocol/|server/(units|utc|clock|records|plan-fields)\\.ts$)',
  config: '^server/config/',
  physics: '^server/physics/',
};
const only = (name, from, to, comment) => ({
  name,
  comment,
  severity: 'error',
  from: { path: from },
  to: {
    pathNot: [...to, '^node_modules/', '^node:', `^(${BUILTINS})$`],
    dependencyTypesNot: ['npm', 'npm-dev', 'npm-optional', 'core'],
  },
});
const BUILTINS = require('node:module').builtinModules.join('|');
const edge = (room) =>
  only(
    `edge-${room}`,
    `^server/${room}/`,
    [`^server/${room}/`, ROOMS.ground, ROOMS.config],
    `server/${room} is an edge: it declares the few members it needs from others, and main.ts joins them.`,
  );

module.exports = {
  forbidden: [
    {
      name: 'no-circles',
      comment: 'A circle of imports means that two rooms are one, or that a type lives in the wrong place.',
      severity: 'error',
      from: {},
      to: { circular: true },
    },
    {
      name: 'resolvable',
      comment: 'An import that cannot be found.',
      severity: 'error',
      from: {},
      to: { couldNotResolve: true },
    },
    only(
      'protocol-is-ground',
      '^firmware-protocol/',
      ['^firmware-protocol/'],
      'firmware-protocol is read by boards too: it stands on nothing.',
    ),
    only(
      'ground-stands-on-protocol',
      '^server/(units|utc|clock|records|plan-fields)\\.ts$',
      ['^firmware-protocol/', '^server/(units|records)\\.ts$'],
      'Ground stands on the protocol alone.',
    ),
    only(
      'physics-is-pure',
      '^server/physics/',
      [ROOMS.physics, ROOMS.ground],
      'Physics is formulas: no configuration, no state, no I/O.',
    ),
    only(
      'estimators-stand-on-physics',
      '^server/estimators/',
      ['^server/estimators/', ROOMS.physics, ROOMS.ground, ROOMS.config],
      'Estimators stand on physics; what they need of the world is handed in.',
    ),
    only(
      'planner-stands-on-estimators',
      '^server/planner/',
      ['^server/planner/', '^server/estimators/', ROOMS.physics, ROOMS.ground],
      'The planner asks the estimators about spools that are not there; it knows no bench and no edge.',
    ),
    only(
      'alerts-stand-on-ground',
      '^server/alerts/',
      ['^server/alerts/', ROOMS.ground, ROOMS.config],
      'Alerts judge records; they know no estimator and no edge.',
    ),
    only(
      'intake-is-pure',
      '^server/intake/',
      ['^server/intake/', ROOMS.physics, ROOMS.ground, ROOMS.config],
      'Taking lines in is pure: bytes come from serial, rows go to storage, by way of main.',
    ),
    only(
      'engine-knows-no-edge',
      '^server/(engine\\.ts|replay\\.ts|desks/)',
      ['^server/(engine\\.ts|desks/|intake/|estimators/|alerts/)', ROOMS.physics, ROOMS.ground, ROOMS.config],
      'The engine is the same live and in a replay: it may know no edge.',
    ),
    only(
      'config-knows-names-only',
      '^server/config/',
      [ROOMS.config, ROOMS.ground],
      'Configuration is checked against a vocabulary handed in, not against physics itself.',
    ),
    edge('serial'),
    edge('storage'),
    edge('notifiers'),
    only(
      'edge-api',
      '^server/api/',
      ['^server/api/', ROOMS.ground, ROOMS.config],
      'server/api is an edge: it declares the few members it needs, and main.ts joins them.',
    ),
    {
      name: 'main-is-the-only-assembler',
      comment: 'Only main.ts and the commands in cli/ put rooms together.',
      severity: 'error',
      from: { pathNot: '^(server/(main\\.ts|cli/)|tests/)' },
      to: { path: '^server/(main\\.ts|cli/)' },
    },
    only(
      'page-takes-types-only',
      '^web/',
      ['^web/', '^server/api/messages\\.ts$', '^server/api/messages-[a-z]+\\.ts$'],
      'The page knows the wire and nothing else of the server.',
    ),
    only(
      'simulators-are-a-separate-truth',
      '^simulators/',
      [
        '^simulators/',
        '^firmware-protocol/',
        '^server/(units|clock)\\.ts$',
        '^server/physics/(psychrometrics|saturation)\\.ts$',
      ],
      "Were the simulated truth built from the estimators' physics, the tests would prove nothing.",
    ),
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    exclude: { path: '^dist/' },
    tsConfig: { fileName: 'tsconfig.json' },
    tsPreCompilationDeps: true,
    parser: 'swc',
    enhancedResolveOptions: {
      extensions: ['.ts', '.tsx', '.mjs', '.js', '.json'],
      conditionNames: ['import', 'default', 'types'],
      exportsFields: ['exports'],
    },
  },
};
