import { createHash } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { folderFault, LaunchFault } from './launch-fault.mjs';
import { runChild } from './run-child.mjs';

/**
 * An unreachable registry should be said after seconds, not after the minute and a half that npm waits by
 * itself; two tries more are kept for a network that stumbles.
 */
const NPM_QUIETLY = [
  '--loglevel=error',
  '--no-progress',
  '--no-audit',
  '--no-fund',
  '--fetch-retry-mintimeout=1000',
  '--fetch-retry-maxtimeout=8000',
];

/** What npm says when it has no way to the registry. */
const OFFLINE =
  /\b(ENOTFOUND|EAI_AGAIN|ECONNREFUSED|ECONNRESET|ETIMEDOUT|ENETUNREACH|EHOSTUNREACH|ERR_SOCKET_TIMEOUT)\b/;
const NOT_WRITABLE = /\b(EACCES|EPERM|EROFS|ENOSPC)\b/;

/**
 * Brings a folder's packages to what its lock file says, if they are not so already. `npm ci` empties
 * node_modules first, so a stamp inside it stands only where the last installation came to its end.
 *
 * @param {string} folder
 * @param {(line: string) => void} say
 * @returns {Promise<'installed' | 'was there' | 'interrupted'>}
 */
export async function installByLock(folder, say) {
  const stamp = path.join(folder, 'node_modules', '.installed-by-lock');
  const wanted = lockHash(folder);
  if (readOrEmpty(stamp) === wanted) return 'was there';

  const fits = installedTreeFits(folder);
  if (!fits) {
    say('Installing packages (once; about half a minute) ...');
    const end = await runNpmCi(folder);
    if (end.interruptedBy !== undefined) return 'interrupted';
    if (end.exitCode !== 0) throw installFault(folder, end.output);
  }
  try {
    writeFileSync(stamp, wanted);
  } catch (error) {
    throw folderFault(error, path.dirname(stamp));
  }
  return fits ? 'was there' : 'installed';
}

/** @param {string} folder */
function lockHash(folder) {
  const hash = createHash('sha256').update(readFileSync(path.join(folder, 'package-lock.json')));
  return hash.update(`${process.platform}-${process.arch}`).digest('hex');
}

/**
 * Whether npm's own record of what it installed agrees with the lock file. It does after a developer's
 * `npm install`, and then there is no reason to throw everything away and fetch it again.
 *
 * @param {string} folder
 */
function installedTreeFits(folder) {
  const record = path.join(folder, 'node_modules', '.package-lock.json');
  if (!existsSync(record)) return false;
  const installed = packagesOf(record);
  const locked = packagesOf(path.join(folder, 'package-lock.json'));
  const nothingForeign = Object.entries(installed).every(([where, entry]) => isSame(entry, locked[where]));
  const nothingMissing = Object.entries(locked).every(
    ([where, entry]) => where === '' || entry.optional === true || isSame(entry, installed[where]),
  );
  return nothingForeign && nothingMissing;
}

/**
 * @typedef {{ version?: string, integrity?: string, optional?: boolean }} LockedPackage
 *
 * @param {string} lockFile
 * @returns {Record<string, LockedPackage>}
 */
function packagesOf(lockFile) {
  const lock = /** @type {{ packages: Record<string, LockedPackage> }} */ (
    JSON.parse(readFileSync(lockFile, 'utf8'))
  );
  return lock.packages;
}

/**
 * @param {LockedPackage} one
 * @param {LockedPackage | undefined} other
 */
function isSame(one, other) {
  return one.version === other?.version && one.integrity === other?.integrity;
}

/** @param {string} folder */
async function runNpmCi(folder) {
  const ci = ['ci', ...NPM_QUIETLY];
  // npm waits for answers that may never come. Cut off, it leaves no stamp, and the next run starts anew.
  const options = { show: false, mayBeCutOff: true, cwd: folder };
  const ourNpm = process.env['npm_execpath'];
  // npm names its own script to what it runs; started without npm, the one on the path has to do.
  if (ourNpm?.endsWith('.js')) return runChild([process.execPath, ourNpm, ...ci], options);
  try {
    return await runChild([process.platform === 'win32' ? 'npm.cmd' : 'npm', ...ci], options);
  } catch (error) {
    throw new LaunchFault(
      'LAUNCH_INSTALL',
      {
        subject: 'npm',
        got: 'no such program',
        expected: 'npm on the path',
        remedy: 'install Node with npm',
      },
      { cause: error },
    );
  }
}

/**
 * @param {string} folder
 * @param {string} output
 */
function installFault(folder, output) {
  const offline = OFFLINE.exec(output)?.[0];
  if (offline !== undefined) {
    return installFaultOf(
      `no way to the package registry (${offline})`,
      'connect this machine to the network for the first start, and run the command again',
    );
  }
  const notWritable = NOT_WRITABLE.exec(output)?.[0];
  if (notWritable !== undefined)
    return folderFault(Object.assign(new Error(output), { code: notWritable }), folder);
  console.error(output.trimEnd());
  return installFaultOf('the failure that npm tells above', 'mend that, and run the command again');
}

/**
 * @param {string} got
 * @param {string} remedy
 */
function installFaultOf(got, remedy) {
  return new LaunchFault('LAUNCH_INSTALL', { subject: 'npm ci', got, expected: 'all packages', remedy });
}

/** @param {string} file */
function readOrEmpty(file) {
  return existsSync(file) ? readFileSync(file, 'utf8') : '';
}
