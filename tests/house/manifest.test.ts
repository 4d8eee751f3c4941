import { describe, expect, it } from 'vitest';
import { textOf, trackedFiles } from './project-files.ts';

const TOP_LEVEL = [
  '.ci',
  '.dependency-cruiser.mjs',
  '.gitignore',
  'DEVELOPERS.md',
  'LICENSE',
  'README.md',
  'client',
  'config',
  'eslint.config.js',
  'package-lock.json',
  'package.json',
  'server',
  'simulator',
  'tests',
  'tsconfig.json',
  'vitest.config.ts',
];

type Versions = Readonly<Record<string, string>>;

interface Manifest {
  readonly scripts?: Versions;
  readonly dependencies?: Versions;
  readonly devDependencies?: Versions;
  readonly optionalDependencies?: Versions;
}

interface Lock {
  readonly packages: Readonly<Record<string, LockedPackage>>;
}

interface LockedPackage extends Manifest {
  readonly version?: string;
  readonly integrity?: string;
  readonly resolved?: string;
  readonly hasInstallScript?: boolean;
}

const manifests = trackedFiles().filter((file) => /(^|\/)package\.json$/.test(file));

function manifestOf(file: string): Manifest {
  return JSON.parse(textOf(file)) as Manifest;
}

function lockBeside(file: string): Lock {
  return JSON.parse(textOf(file.replace(/package\.json$/, 'package-lock.json'))) as Lock;
}

function dependenciesOf(manifest: Manifest): Versions {
  return { ...manifest.dependencies, ...manifest.devDependencies, ...manifest.optionalDependencies };
}

describe('the top level', () => {
  it('holds what it should and nothing else', () => {
    const found = new Set(trackedFiles().map((file) => file.split('/')[0]));
    expect([...found].toSorted()).toEqual(TOP_LEVEL);
  });
});

describe.each(manifests)('%s', (file) => {
  const manifest = manifestOf(file);
  const { packages } = lockBeside(file);
  const locked = Object.entries(packages).filter(([where]) => where !== '');

  it('asks for exact versions', () => {
    const loose = Object.entries(dependenciesOf(manifest)).filter(
      ([, version]) => !/^\d+\.\d+\.\d+(-[\w.]+)?$/.test(version),
    );
    expect(loose).toEqual([]);
  });

  it('asks for what its lock file holds', () => {
    const held = Object.keys(dependenciesOf(manifest)).map((name) => [
      name,
      packages[`node_modules/${name}`]?.version,
    ]);
    expect(Object.fromEntries(held)).toEqual(dependenciesOf(manifest));
  });

  it('is locked with the fingerprint of every package, and no address to fetch it from', () => {
    expect(locked.length).toBeGreaterThan(5);
    expect(locked.filter(([, one]) => !one.integrity?.startsWith('sha512-')).map(([where]) => where)).toEqual(
      [],
    );
    expect(locked.filter(([, one]) => one.resolved !== undefined).map(([where]) => where)).toEqual([]);
  });

  it('brings no package that runs a script when it is installed', () => {
    expect(locked.filter(([, one]) => one.hasInstallScript === true).map(([where]) => where)).toEqual([]);
  });
});

describe('the scripts of package.json', () => {
  it('all start on any Node, and go on on the pinned one', () => {
    const scripts = Object.values(manifestOf('package.json').scripts ?? {}).flatMap((script) =>
      script.split(' && '),
    );
    expect(scripts.length).toBeGreaterThan(10);
    expect(scripts.filter((script) => !/^(node server\/launch\/|npm (run|test) )/.test(script))).toEqual([]);
  });
});
