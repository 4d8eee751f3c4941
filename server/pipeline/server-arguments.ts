import { parseArgs } from 'node:util';
import { Fault } from '../contract/faults.ts';

export interface ServerArguments {
  readonly config: string;
  readonly data: string;
  readonly host: string;
  readonly port: number;
}

const PORT_MAX = 65_535;

/**
 * What the server was started with.
 *
 * @throws Fault ARGUMENT_INVALID, which names the argument.
 */
export function serverArguments(argv: readonly string[]): ServerArguments {
  const values = parsed(argv);
  const port = Number(values.port);
  if (!Number.isInteger(port) || port < 0 || port > PORT_MAX) {
    const expected = `a whole number from 0 to ${PORT_MAX}`;
    throw new Fault('ARGUMENT_INVALID', {
      subject: '--port',
      got: values.port,
      expected,
      remedy: 'server not started',
    });
  }
  return { config: values.config, data: values.data, host: values.host, port };
}

function parsed(argv: readonly string[]) {
  try {
    return parseArgs({
      args: [...argv],
      options: {
        config: { type: 'string', default: 'config/plant.yaml' },
        data: { type: 'string', default: 'data' },
        host: { type: 'string', default: '127.0.0.1' },
        port: { type: 'string', default: '8480' },
      },
    }).values;
  } catch (cause) {
    const got = cause instanceof Error ? cause.message : String(cause);
    const expected = '--config, --data, --host or --port, each with a value';
    throw new Fault(
      'ARGUMENT_INVALID',
      { subject: 'arguments', got, expected, remedy: 'server not started' },
      { cause },
    );
  }
}
