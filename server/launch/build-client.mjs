import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { folderFault, LaunchFault } from './launch-fault.mjs';
import { environmentWith, pinnedNode } from './pinned-node.mjs';
import { PROJECT_ROOT } from './project-root.mjs';
import { runChild } from './run-child.mjs';

const BUILT = path.join(PROJECT_ROOT, 'client', 'dist');
const STAMP = path.join(BUILT, '.built-from');
/** All that the pages are made of. The client takes little from `calc`, but which files is not for this list to know. */
const SOURCES = [
  'client',
  'server/contract',
  'server/calc',
  'package.json',
  'package-lock.json',
  'tsconfig.json',
];
const NOT_SOURCES = new Set(['dist', 'node_modules']);

/**
 * Builds the pages that the browser gets, if their sources are not those of the last build. The build
 * empties its folder first, so the stamp in it stands only where the last build came to its end.
 *
 * @param {(line: string) => void} say
 * @returns {Promise<'built' | 'was there' | 'interrupted'>}
 */
export async function buildClient(say) {
  const sources = sourcesHash();
  if (existsSync(STAMP) && readFileSync(STAMP, 'utf8') === sources) return 'was there';

  say('Building the pages ...');
  const node = pinnedNode();
  const vite = path.join(PROJECT_ROOT, 'node_modules', 'vite', 'bin', 'vite.js');
  const build = /** @type {const} */ ([
    node,
    vite,
    'build',
    '--config',
    'client/vite.config.ts',
    '--logLevel',
    'warn',
  ]);
  const end = await runChild(build, {
    show: false,
    mayBeCutOff: true,
    env: { ...environmentWith(node), NODE_ENV: 'production', NO_COLOR: '1' },
  });
  if (end.interruptedBy !== undefined) return 'interrupted';
  if (end.exitCode !== 0) throw buildFault(end.output);
  try {
    writeFileSync(STAMP, sources);
  } catch (error) {
    throw folderFault(error, BUILT);
  }
  return 'built';
}

function sourcesHash() {
  const hash = createHash('sha256');
  for (const source of SOURCES.flatMap(filesBelow)) {
    hash
      .update(`${source}\0`)
      .update(readFileSync(path.join(PROJECT_ROOT, source)))
      .update('\0');
  }
  return hash.digest('hex');
}

/**
 * @param {string} source a file or folder of the project
 * @returns {string[]} the files, in an order that does not depend on the file system
 */
function filesBelow(source) {
  const entries = source.includes('.')
    ? undefined
    : readdirSync(path.join(PROJECT_ROOT, source), { withFileTypes: true });
  if (entries === undefined) return [source];
  const kept = entries
    .filter((entry) => !NOT_SOURCES.has(entry.name))
    .sort((a, b) => (a.name < b.name ? -1 : 1));
  return kept.flatMap((entry) => {
    const name = `${source}/${entry.name}`;
    return entry.isDirectory() ? filesBelow(name) : [name];
  });
}

/** @param {string} output */
function buildFault(output) {
  const notWritable = /\b(EACCES|EPERM|EROFS|ENOSPC)\b/.exec(output)?.[0];
  if (notWritable !== undefined)
    return folderFault(Object.assign(new Error(output), { code: notWritable }), BUILT);
  console.error(output.trimEnd());
  return new LaunchFault('LAUNCH_BUILD', {
    subject: 'client',
    got: 'the failure that the build tells above',
    expected: 'pages in client/dist',
    remedy: 'mend that, and run the command again',
  });
}
