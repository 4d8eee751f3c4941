/**
 * A failure that a person can mend, said in one line of the form that all our messages have. The codes are
 * listed with the others in `server/contract/faults.ts`, which this room cannot import: it runs before
 * there is a Node that reads TypeScript.
 */
export class LaunchFault extends Error {
  /**
   * @param {string} code
   * @param {{ subject: string, got: string, expected: string, remedy: string }} parts
   * @param {ErrorOptions} [options]
   */
  constructor(code, parts, options) {
    super(`${code} ${parts.subject}: got ${parts.got}, expected ${parts.expected}; ${parts.remedy}`, options);
    this.name = 'LaunchFault';
    this.code = code;
  }
}

/**
 * Runs a command's main function and ends the process with the exit code it answers. A LaunchFault ends it
 * with its one line and exit code 1; anything else is a bug and shows its stack.
 *
 * @param {() => number | Promise<number>} main
 * @returns {Promise<void>}
 */
export async function endWith(main) {
  try {
    process.exitCode = await main();
  } catch (error) {
    process.exitCode = 1;
    console.error(error instanceof LaunchFault ? error.message : error);
  }
}

/**
 * Gives a failure of the file system its one line, and hands every other error back as it is.
 *
 * @param {unknown} error
 * @param {string} folder
 * @returns {unknown}
 */
export function folderFault(error, folder) {
  const code = errorCode(error);
  const reason = FOLDER_REASONS.get(code);
  if (reason === undefined) return error;
  return new LaunchFault(
    'LAUNCH_FOLDER',
    {
      subject: folder,
      got: `${reason} (${code})`,
      expected: 'a folder that can be written',
      remedy: 'put the project into a folder of your own with room on its disk, and run the command again',
    },
    { cause: error },
  );
}

const FOLDER_REASONS = new Map([
  ['EACCES', 'no permission to write'],
  ['EPERM', 'no permission to write'],
  ['EROFS', 'a read-only file system'],
  ['ENOSPC', 'a full disk'],
]);

/**
 * @param {unknown} error
 * @returns {string} the system's code of an error, or ''
 */
function errorCode(error) {
  return error instanceof Error && 'code' in error && typeof error.code === 'string' ? error.code : '';
}
