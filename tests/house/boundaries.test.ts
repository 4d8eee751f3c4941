import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import boundaries from '../../.dependency-cruiser.mjs';
import { trackedFiles } from './project-files.ts';
import { PROJECT_ROOT, runScript } from './run-tool.ts';
import { temporaryTree } from './temporary-tree.ts';

const CRUISER = 'node_modules/dependency-cruiser/bin/dependency-cruiser.mjs';
const CONFIG = path.join(PROJECT_ROOT, '.dependency-cruiser.mjs');

interface Cruise {
  readonly modules: readonly { readonly source: string }[];
  readonly summary: { readonly violations: readonly Violation[] };
}

interface Violation {
  readonly from: string;
  readonly to: string;
  readonly rule: { readonly name: string };
}

async function cruise(folder: string): Promise<Cruise> {
  const args = ['--config', CONFIG, '--output-type', 'json', 'server', 'client', 'simulator'];
  const { output, errors } = await runScript(CRUISER, args, { cwd: folder });
  if (!output.startsWith('{')) throw new Error(`the boundary check did not answer: ${errors}`);
  return JSON.parse(output) as Cruise;
}

/** Each rule with a file that breaks it and, in that file, the line that does. */
const BROKEN: Readonly<Record<string, readonly [file: string, line: string]>> = {
  'calc-imports': ['server/calc/broken.ts', "import '../contract/version.ts';"],
  'contract-imports': ['server/contract/broken.ts', "import '../calc/dose.ts';"],
  'line-imports': ['server/line/broken.ts', "import 'node:fs';"],
  'line-imports-only-types-there': [
    'server/line/broken-value.ts',
    "import { version } from '../contract/version.ts'; version;",
  ],
  'alarms-imports': ['server/alarms/broken.ts', "import '../line/frames.ts';"],
  'alarms-imports-only-types-there': ['server/alarms/broken-value.ts', "import '../contract/version.ts';"],
  'machines-imports': ['server/machines/broken.ts', "import 'typebox';"],
  'machines-imports-only-types-there': [
    'server/machines/broken-value.ts',
    "import '../contract/version.ts';",
  ],
  'ports-imports': [
    'server/ports/broken.ts',
    "import type { Dose } from '../calc/dose.ts'; export type A = Dose;",
  ],
  'ports-imports-only-types-there': ['server/ports/broken-value.ts', "import '../contract/version.ts';"],
  'field-imports': ['server/field/broken.ts', "import '../history/store.ts';"],
  'history-imports': ['server/history/broken.ts', "import '../records/store.ts';"],
  'records-imports': ['server/records/broken.ts', "import '../history/store.ts';"],
  'reports-imports': ['server/reports/broken.ts', "import '../history/store.ts';"],
  'publish-imports': ['server/publish/broken.ts', "import '../field/source.ts';"],
  'config-imports': ['server/config/broken.ts', "import '../ports/clock.ts';"],
  'study-imports': ['server/study/broken.ts', "import '../history/store.ts';"],
  'condition-imports': ['server/condition/broken.ts', "import '../history/store.ts';"],
  'web-imports': ['server/web/broken.ts', "import '../line/frames.ts';"],
  'commands-imports': ['server/commands/broken.ts', "import '../main.ts';"],
  'fastify-has-a-keeper': ['server/field/broken-web.ts', "import 'fastify';"],
  'node-opcua-has-a-keeper': ['server/history/broken-opcua.ts', "import 'node-opcua';"],
  'socket-client-has-a-keeper': ['client/views/broken-socket.ts', "import 'socket.io-client';"],
  'uplot-has-a-keeper': ['client/views/broken-chart.ts', "import 'uplot';"],
  'launch-imports': ['server/launch/broken.mjs', "import 'yaml';"],
  'nobody-imports-main': ['simulator/broken-main.ts', "import './main.ts';"],
  'pipeline-is-for-main-and-commands': ['server/web/broken-pipeline.ts', "import '../pipeline.ts';"],
  'server-stays-in-server': ['server/pipeline.ts', "import '../simulator/plant.ts';"],
  'client-imports': ['client/broken.ts', "import '../server/line/frames.ts';"],
  'client-runs-in-a-browser': ['client/broken-node.ts', "import 'node:fs';"],
  'simulator-imports': ['simulator/broken.ts', "import '../server/calc/dose.ts';"],
  'no-circles': ['server/line/circle-back.ts', "import './circle.ts';"],
  'nothing-unresolved': ['server/calc/unresolved.ts', "import './not-there.ts';"],
  'only-listed-packages': ['simulator/broken-package.ts', "import 'unlisted';"],
  'shipped-code-uses-shipped-packages': ['simulator/broken-dev.ts', "import 'for-development';"],
};

/** Files that use all they may. None of them may be reported. */
const ALLOWED: Readonly<Record<string, string>> = {
  'client/allowed.ts': "import '../server/calc/units.ts'; import '../server/contract/version.ts';",
  'client/charts/allowed.ts': "import 'uplot';",
  'client/live/allowed.ts': "import 'socket.io-client';",
  'server/alarms/allowed.ts':
    "import type { Version } from '../contract/version.ts'; export type A = Version;",
  'server/commands/allowed.ts': "import '../pipeline.ts'; import '../history/store.ts'; import 'node:fs';",
  'server/contract/version.ts':
    "import '../calc/units.ts'; export type Version = 1; export const version: Version = 1;",
  'server/field/source.ts':
    "import 'node-opcua'; import 'node:fs'; import '../ports/clock.ts'; import '../contract/version.ts';",
  'server/launch/allowed.mjs': "import 'node:fs';",
  'server/alarms/points-back.ts': "import './runs.ts'; export type Alarm = 1;",
  'server/alarms/runs.ts': "import type { Alarm } from './points-back.ts'; export const alarm: Alarm = 1;",
  'server/main.ts': "import './pipeline.ts'; import './web/allowed.ts';",
  'server/reports/allowed.ts':
    "import '../calc/dose.ts'; import '../contract/version.ts'; import '../ports/clock.ts';",
  'server/web/allowed.ts': "import 'fastify'; import '../contract/version.ts'; import '../ports/clock.ts';",
  'simulator/plant.ts': "import '../server/calc/units.ts'; import 'node-opcua';",
};

const BESIDE_THEM: Readonly<Record<string, string>> = {
  'tsconfig.json': JSON.stringify({
    compilerOptions: { module: 'nodenext', allowImportingTsExtensions: true, noEmit: true },
  }),
  'server/calc/units.ts': 'export const kilograms = 1;',
  'server/calc/dose.ts': 'export type Dose = 1;',
  'server/history/store.ts': 'export const history = 1;',
  'server/line/circle.ts': "import './circle-back.ts';",
  'server/line/frames.ts': 'export const frames = 1;',
  'server/ports/clock.ts': 'export type Clock = 1;',
  'server/records/store.ts': 'export const records = 1;',
  'simulator/main.ts': 'export const main = 1;',
  ...packagesNamed(
    ['fastify', 'node-opcua', 'socket.io-client', 'uplot', 'typebox', 'yaml'],
    ['for-development'],
  ),
};

function packagesNamed(shipped: readonly string[], development: readonly string[]): Record<string, string> {
  const versions = (names: readonly string[]) => Object.fromEntries(names.map((name) => [name, '1.0.0']));
  const files = [...shipped, ...development, 'unlisted'].flatMap((name) => [
    [`node_modules/${name}/package.json`, JSON.stringify({ name, version: '1.0.0', main: 'index.js' })],
    [`node_modules/${name}/index.js`, 'module.exports = 1;'],
  ]);
  const manifest = {
    name: 'broken',
    type: 'module',
    dependencies: versions(shipped),
    devDependencies: versions(development),
  };
  return {
    ...(Object.fromEntries(files) as Record<string, string>),
    'package.json': JSON.stringify(manifest),
  };
}

describe('the boundary check', () => {
  it('finds nothing to report in the project, and has looked at every file of it', async () => {
    const { modules, summary } = await cruise(PROJECT_ROOT);
    expect(summary.violations.map(({ from, to, rule }) => `${rule.name}: ${from} -> ${to}`)).toEqual([]);

    const seen = new Set(modules.map((module) => module.source));
    const kept = trackedFiles().filter((file) => /^(server|client|simulator)\/.*\.(ts|tsx|mjs)$/.test(file));
    expect(kept.length).toBeGreaterThan(100);
    expect(kept.filter((file) => !seen.has(file))).toEqual([]);
  });

  it('has a broken file for every one of its rules, and a reason in every rule', () => {
    const rules = boundaries.forbidden ?? [];
    expect(Object.keys(BROKEN).toSorted()).toEqual(rules.map((rule) => rule.name ?? '').toSorted());
    expect(rules.filter((rule) => !rule.comment?.endsWith('.')).map((rule) => rule.name)).toEqual([]);
  });
});

describe('a project that breaks every boundary', () => {
  let violations: readonly Violation[] = [];
  const tree = temporaryTree({
    ...BESIDE_THEM,
    ...ALLOWED,
    ...Object.fromEntries(Object.values(BROKEN)),
  });
  beforeAll(async () => {
    ({ violations } = (await cruise(tree.folder)).summary);
  });
  afterAll(tree.remove);

  it.each(Object.entries(BROKEN))('is caught by %s', (rule, [file, line]) => {
    const caught = violations
      .filter((violation) => violation.from === file)
      .map((violation) => violation.rule.name);
    expect(caught, line).toContain(rule);
  });

  it.each(Object.keys(ALLOWED))('is not blamed for %s, which uses what it may', (file) => {
    expect(violations.filter((violation) => violation.from === file)).toEqual([]);
  });
});
