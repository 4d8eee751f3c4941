import { parseArgs } from 'node:util';
import { SimulatorFault } from './fault.ts';

/**
 * Plays an upset on the running simulator, from the command line.
 *
 *     npm run upset -- list
 *     npm run upset -- destoner-stop
 *     npm run upset -- destoner-stop --end
 */
async function main(): Promise<void> {
  const { values, positionals } = parseArgs({
    options: {
      end: { type: 'boolean', default: false },
      'control-port': { type: 'string', default: '48401' },
    },
    allowPositionals: true,
  });
  const [name = 'list'] = positionals;
  const base = `http://127.0.0.1:${values['control-port']}`;
  const upsets =
    name === 'list'
      ? await ask(`${base}/upsets`, 'GET')
      : await ask(`${base}/upsets/${encodeURIComponent(name)}/${values.end ? 'end' : 'begin'}`, 'POST');
  for (const { name: listed, title, isPlaying } of upsets) {
    if (name === 'list' || listed === name) {
      process.stdout.write(`${listed.padEnd(28)} ${isPlaying ? 'playing' : '       '}  ${title}\n`);
    }
  }
}

interface Listed {
  readonly name: string;
  readonly title: string;
  readonly isPlaying: boolean;
}

async function ask(url: string, method: 'GET' | 'POST'): Promise<readonly Listed[]> {
  const response = await fetch(url, { method }).catch((cause: unknown) => {
    throw new SimulatorFault(
      {
        code: 'SIM_CONTROL',
        subject: url,
        got: 'no answer',
        expected: 'a running simulator',
        remedy: 'start it, or name its port with --control-port',
      },
      cause,
    );
  });
  if (response.ok) return (await response.json()) as readonly Listed[];
  const { error } = (await response.json()) as { readonly error: string };
  throw new Error(error);
}

main().catch((error: unknown) => {
  process.stderr.write(`${error instanceof Error ? error.message : String(error)}\n`);
  process.exit(1);
});
