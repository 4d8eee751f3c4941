import { parseArgs } from 'node:util';
import { LaunchFault } from './launch-fault.mjs';

/** What `npm start` and `npm run dev` take, each with the word for its value and what it does. */
const OPTIONS = {
  config: { value: 'file', does: 'the configuration to run; the demo plant if left out' },
  data: { value: 'folder', does: 'where readings and records are kept' },
  port: { value: 'number', does: 'the port of the pages, 1 to 65535' },
  host: {
    value: 'address',
    does: 'the address the pages are served on; 127.0.0.1, this machine alone, if left out',
  },
  'no-simulator': { value: '', does: 'do not start the simulated plant: the configuration names a real one' },
};

export const USAGE = Object.entries(OPTIONS)
  .map(
    ([name, option]) =>
      `  --${`${name}${option.value === '' ? '' : ` <${option.value}>`}`.padEnd(16)} ${option.does}`,
  )
  .join('\n');

/**
 * @typedef {object} StartOptions
 * @property {boolean} withSimulator
 * @property {string | undefined} port
 * @property {readonly string[]} serverArgs
 *
 * @param {readonly string[]} args
 * @returns {StartOptions | 'help'}
 */
export function startOptions(args) {
  const values = parse(args);
  if (values.help === true) return 'help';
  const port = values.port;
  if (port !== undefined && !(/^\d+$/.test(port) && Number(port) >= 1 && Number(port) <= 65_535)) {
    throw argumentFault('--port', port, 'a number from 1 to 65535');
  }
  const { config, data, host } = values;
  const serverArgs = Object.entries({ config, data, host, port }).flatMap(([name, value]) =>
    value === undefined ? [] : [`--${name}`, value],
  );
  return { withSimulator: values['no-simulator'] !== true, port, serverArgs };
}

/** @param {readonly string[]} args */
function parse(args) {
  try {
    const string = /** @type {const} */ ({ type: 'string' });
    const boolean = /** @type {const} */ ({ type: 'boolean' });
    const options = {
      config: string,
      data: string,
      port: string,
      host: string,
      'no-simulator': boolean,
      help: boolean,
    };
    return parseArgs({ args: [...args], options, allowPositionals: false }).values;
  } catch (error) {
    const reason = error instanceof Error ? error.message.split('. ')[0] : String(error);
    throw argumentFault(
      'npm start',
      `${args.join(' ')} (${reason})`,
      `only ${Object.keys(OPTIONS)
        .map((name) => `--${name}`)
        .join(', ')}`,
    );
  }
}

/**
 * @param {string} subject
 * @param {string} got
 * @param {string} expected
 */
function argumentFault(subject, got, expected) {
  const remedy = 'nothing was started; npm start -- --help lists the options';
  return new LaunchFault('ARGUMENT_INVALID', { subject, got, expected, remedy });
}
