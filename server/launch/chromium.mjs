import { accessSync, constants, existsSync, mkdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { installByLock } from './install.mjs';
import { environmentWith, pinnedNode } from './pinned-node.mjs';
import { PROJECT_ROOT } from './project-root.mjs';
import { runChild } from './run-child.mjs';

const NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome.exe'];
/** Where the browser lies on systems that do not put it on the path. */
const PLACES = [
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
];
/** The browser as an npm package: a project of its own, so that only those who need it fetch its 70 MB. */
const PACKAGE = path.join(PROJECT_ROOT, 'tests', 'browser', 'chromium');
const NOTE = path.join(PROJECT_ROOT, 'node_modules', '.chromium-path');

/** What to do when there is none; the browser tests say it too. */
export const CHROMIUM_MISSING =
  'LAUNCH_BROWSER Chromium: got none, expected one on the path; ' +
  'install it (Debian: apt-get install chromium), or set CHROMIUM_PATH to the program';

/** @returns {string | undefined} the program that browser tests start */
export function findChromium() {
  const named = process.env['CHROMIUM_PATH'];
  if (named !== undefined && named !== '') return named;
  const folders = (process.env['PATH'] ?? '').split(path.delimiter).filter((folder) => folder !== '');
  const onPath = NAMES.flatMap((name) => folders.map((folder) => path.join(folder, name)));
  const noted = existsSync(NOTE) ? [readFileSync(NOTE, 'utf8').trim()] : [];
  return [...onPath, ...PLACES, ...noted].find(isProgram);
}

/**
 * Sees to it that there is a Chromium: the machine's, else Debian's package where we may install it, else
 * the one that comes as an npm package. With none of them the set-up goes on, and the browser tests fail
 * with a message that says what to install.
 *
 * @param {(line: string) => void} say
 * @returns {Promise<'was there' | 'installed' | 'missing' | 'interrupted'>}
 */
export async function provideChromium(say) {
  if (findChromium() !== undefined) return 'was there';
  for (const provide of [fromDebian, fromNpm]) {
    const outcome = await provide(say);
    if (outcome === 'interrupted') return outcome;
    if (findChromium() !== undefined) return 'installed';
  }
  console.error(CHROMIUM_MISSING);
  return 'missing';
}

/**
 * @param {(line: string) => void} say
 * @returns {Promise<'tried' | 'interrupted'>}
 */
async function fromDebian(say) {
  const aptGet = '/usr/bin/apt-get';
  if (process.getuid?.() !== 0 || !isProgram(aptGet)) return 'tried';
  say('Installing Chromium for the browser tests (once; Debian package) ...');
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
  /** @type {readonly (readonly [string, ...string[]])[]} */
  const commands = [
    [aptGet, 'update', '-qq'],
    [aptGet, 'install', '-y', '-qq', '--no-install-recommends', 'chromium'],
  ];
  for (const command of commands) {
    const end = await runChild(command, { show: false, env });
    if (end.interruptedBy !== undefined) return 'interrupted';
    // An update that reached only some of its sources may still be enough for the installation.
    if (end.exitCode !== 0)
      say(`${command.slice(0, 2).join(' ')} ended with ${end.exitCode}: ${lastLine(end.output)}`);
  }
  return 'tried';
}

/**
 * @param {(line: string) => void} say
 * @returns {Promise<'tried' | 'interrupted'>}
 */
async function fromNpm(say) {
  if (process.platform !== 'linux' || process.arch !== 'x64') return 'tried';
  say('Fetching Chromium for the browser tests (once; npm package, 70 MB) ...');
  try {
    if ((await installByLock(PACKAGE, () => undefined)) === 'interrupted') return 'interrupted';
    const node = pinnedNode();
    const unpack = path.join(PROJECT_ROOT, 'server', 'launch', 'unpack-chromium.mjs');
    const end = await runChild([node, unpack, PACKAGE], { show: false, env: environmentWith(node) });
    if (end.interruptedBy !== undefined) return 'interrupted';
    if (end.exitCode !== 0) throw new Error(`the package does not unpack: ${lastLine(end.output)}`);
    mkdirSync(path.dirname(NOTE), { recursive: true });
    writeFileSync(NOTE, end.output.trim());
  } catch (error) {
    say(error instanceof Error ? error.message : String(error));
  }
  return 'tried';
}

/** @param {string} file */
function isProgram(file) {
  try {
    accessSync(file, constants.X_OK);
    return statSync(file).isFile();
  } catch {
    return false; // Not there, or not for us: either way it cannot be started.
  }
}

/** @param {string} output */
function lastLine(output) {
  return output.trim().split('\n').at(-1) ?? '';
}
