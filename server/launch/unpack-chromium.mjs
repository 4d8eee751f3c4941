/**
 * Unpacks the browser that the npm package carries and writes a start script for it, since it needs its
 * own libraries and fonts beside it. Prints the script's path. Run by the set-up, on the pinned Node:
 * `unpack-chromium.mjs <folder where the package is installed>`.
 */
import { chmodSync, mkdirSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import { pathToFileURL } from 'node:url';

const folder = path.resolve(process.argv[2] ?? '.');
const unpacked = path.join(folder, 'node_modules', '.unpacked');
mkdirSync(unpacked, { recursive: true });
// The package unpacks into the folder for temporary files, and brings its libraries only where it
// believes to be in the kind of container that it was made for.
process.env['TMPDIR'] = unpacked;
process.env['AWS_LAMBDA_JS_RUNTIME'] = 'nodejs24.x';
const entry = createRequire(path.join(folder, 'package.json')).resolve('@sparticuz/chromium');
const { default: carried } = /** @type {{ default: { executablePath: () => Promise<string> } }} */ (
  await import(pathToFileURL(entry).href)
);
const program = await carried.executablePath();

const script = path.join(unpacked, 'chromium-with-libraries');
const lines = [
  '#!/bin/sh',
  `export LD_LIBRARY_PATH="${path.join(unpacked, 'al2023', 'lib')}"`,
  `export FONTCONFIG_PATH="${path.join(unpacked, 'fonts')}"`,
  `exec "${program}" "$@"`,
];
writeFileSync(script, `${lines.join('\n')}\n`);
chmodSync(script, 0o755);
console.log(script);
