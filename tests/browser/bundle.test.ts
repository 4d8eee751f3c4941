import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { gzipSync } from 'node:zlib';
import { beforeAll, describe, expect, it } from 'vitest';
import { buildClient } from '#server/launch/build-client.mjs';
import { PROJECT_ROOT } from '#server/launch/project-root.mjs';

const ASSETS = path.join(PROJECT_ROOT, 'client', 'dist', 'assets');
const GZIPPED_KB_MAX = 220;

describe('the pages', () => {
  let scripts: readonly string[] = [];

  beforeAll(async () => {
    await buildClient(() => undefined);
    scripts = readdirSync(ASSETS)
      .filter((name) => name.endsWith('.js'))
      .map((name) => readFileSync(path.join(ASSETS, name), 'utf8'));
  });

  it('bring less than 220 kB of JavaScript, gzipped', () => {
    const bytes = scripts.reduce((sum, script) => sum + gzipSync(script).length, 0);
    expect(bytes).toBeGreaterThan(0);
    expect(bytes / 1000).toBeLessThan(GZIPPED_KB_MAX);
  });

  it('bring no schema library: the contract crosses as types', () => {
    for (const script of scripts) expect(script).not.toMatch(/additionalProperties|exclusiveMinimum/);
  });

  it('fetch nothing from elsewhere', () => {
    const page = readFileSync(path.join(PROJECT_ROOT, 'client', 'dist', 'index.html'), 'utf8');
    expect(page).not.toMatch(/https?:\/\//);
  });
});
