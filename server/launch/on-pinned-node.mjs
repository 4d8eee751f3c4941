/**
 * Runs a tool of the project or a file on the pinned Node: `on-pinned-node.mjs <tool or file> [arguments]`.
 * A tool is named as it would be after `npx`; what has an extension or a slash is a file.
 */
import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { endWith, LaunchFault } from './launch-fault.mjs';
import { environmentWith, pinnedNode } from './pinned-node.mjs';
import { PROJECT_ROOT } from './project-root.mjs';
import { runChild } from './run-child.mjs';

await endWith(async () => {
  const [target, ...args] = process.argv.slice(2);
  if (target === undefined) throw unknownTarget('nothing');
  const node = pinnedNode();
  const end = await runChild([node, scriptOf(target), ...args], { show: true, env: environmentWith(node) });
  return end.exitCode;
});

/** @param {string} target */
function scriptOf(target) {
  const isFile = /[./\\]/.test(target);
  const script = isFile ? path.resolve(PROJECT_ROOT, target) : scriptOfTool(target);
  if (script === undefined || !existsSync(script)) throw unknownTarget(target);
  return script;
}

/**
 * The JavaScript file behind a tool's name, found through the packages that package.json names: the links
 * in node_modules/.bin are shell scripts on some platforms.
 *
 * @param {string} tool
 * @returns {string | undefined}
 */
function scriptOfTool(tool) {
  const { dependencies, devDependencies } = readJson(path.join(PROJECT_ROOT, 'package.json'));
  for (const name of Object.keys({ ...devDependencies, ...dependencies })) {
    const folder = path.join(PROJECT_ROOT, 'node_modules', name);
    const manifest = path.join(folder, 'package.json');
    const bin = existsSync(manifest) ? readJson(manifest).bin : undefined;
    const script = typeof bin === 'string' ? (name === tool ? bin : undefined) : bin?.[tool];
    if (script !== undefined) return path.join(folder, script);
  }
  return undefined;
}

/**
 * @typedef {object} Manifest
 * @property {Record<string, string>} [dependencies]
 * @property {Record<string, string>} [devDependencies]
 * @property {string | Record<string, string>} [bin]
 *
 * @param {string} file
 * @returns {Manifest}
 */
function readJson(file) {
  return /** @type {Manifest} */ (JSON.parse(readFileSync(file, 'utf8')));
}

/** @param {string} target */
function unknownTarget(target) {
  return new LaunchFault('ARGUMENT_INVALID', {
    subject: 'on-pinned-node',
    got: target,
    expected: 'the name of an installed tool, or a file of the project',
    remedy: 'run npm start or npm test once if nothing is installed yet',
  });
}
