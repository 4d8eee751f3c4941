import eslint from '@eslint/js';
import reactHooks from 'eslint-plugin-react-hooks';
import { defineConfig } from 'eslint/config';
import tseslint from 'typescript-eslint';

/** Rooms whose results depend on nothing but their arguments. */
const INNER_ROOMS = ['server/{calc,line,alarms,machines}/**/*.ts'];
/** Rooms that are handed the time, though they may format it. */
const CLOCKLESS_ROOMS = [
  'server/{contract,ports,reports,config}/**/*.ts',
  'server/pipeline.ts',
  'simulator/{physics,logic,drives,instruments,upsets}/**/*.ts',
];
const CONFIG_FILES = ['*.config.{js,ts}', 'client/vite.config.ts', '.dependency-cruiser.mjs'];

const NO_DATE = 'Time is an argument here.';
const NO_CHANCE = 'Chance comes as a seeded generator in an argument.';
const NO_LOCALE = 'Text is made where it is read, in server/contract/format.';

const globals = (/** @type {readonly [string, string][]} */ list) =>
  list.map(([name, message]) => ({ name, message }));

const mathRandom = { object: 'Math', property: 'random', message: NO_CHANCE };

const syntax = (/** @type {readonly string[]} */ ...selectors) =>
  selectors.map((selector) => {
    const [match, message] = /** @type {[string, string]} */ (selector.split(' :: '));
    return { selector: match, message };
  });

/** Forms of TypeScript and of modules that the house does without. */
const NO_FORMS = syntax(
  'TSEnumDeclaration :: A union of strings, or a constant object, says the same and needs no translation.',
  'TSModuleDeclaration[kind="namespace"] :: A file is the namespace.',
  'ExportAllDeclaration :: Import from where the thing is; nothing is exported twice.',
  'ExportNamedDeclaration[source] :: Import from where the thing is; nothing is exported twice.',
);
const NO_DEFAULT_EXPORT = syntax(
  'ExportDefaultDeclaration :: A default export has as many names as it has importers.',
);

export default defineConfig(
  {
    ignores: [
      'client/dist/',
      'data/',
      'coverage/',
      '**/node_modules/',
      'tests/house/fixtures/',
      // A package of its own, whose one dependency is there only where no other browser is.
      'tests/browser/chromium/',
    ],
  },

  eslint.configs.recommended,
  tseslint.configs.strictTypeChecked,
  {
    languageOptions: {
      parserOptions: {
        // The pages' own tsconfig leaves this one out: it runs on Node, and would bring Node's names along.
        projectService: { allowDefaultProject: ['client/vite.config.ts'], defaultProject: 'tsconfig.json' },
        tsconfigRootDir: import.meta.dirname,
      },
    },
    linterOptions: { reportUnusedDisableDirectives: 'error' },
    rules: {
      complexity: ['error', 10],
      'max-lines': ['error', 300],
      'max-lines-per-function': ['error', { max: 50, skipComments: true }],
      'max-params': 'off',
      '@typescript-eslint/max-params': ['error', { max: 3 }],
      'no-restricted-syntax': ['error', ...NO_FORMS, ...NO_DEFAULT_EXPORT],
      'no-restricted-properties': ['error', mathRandom],
      // `== null` asks for null and undefined at once, which is what `?.` and `??` do too.
      eqeqeq: ['error', 'always', { null: 'ignore' }],
      'no-console': 'error',
      '@typescript-eslint/consistent-type-imports': ['error', { fixStyle: 'inline-type-imports' }],
      '@typescript-eslint/switch-exhaustiveness-check': [
        'error',
        { considerDefaultExhaustiveForUnions: true },
      ],
      '@typescript-eslint/no-import-type-side-effects': 'error',
      // A number in a message or a label is what most of them are about.
      '@typescript-eslint/restrict-template-expressions': ['error', { allowNumber: true }],
      // `() => send(x)` as a handler, and `return send(x)` to leave early, are plainer than blocks around them.
      '@typescript-eslint/no-confusing-void-expression': [
        'error',
        { ignoreArrowShorthand: true, ignoreVoidReturningFunctions: true },
      ],
    },
  },
  {
    files: INNER_ROOMS,
    rules: {
      'no-restricted-globals': [
        'error',
        ...globals([
          ['Date', NO_DATE],
          ['performance', NO_DATE],
          ['Intl', NO_LOCALE],
          ['process', 'An inner room knows no environment.'],
          ['console', 'An inner room answers; it does not print.'],
          ['crypto', NO_CHANCE],
          ['setTimeout', NO_DATE],
          ['setInterval', NO_DATE],
          ['globalThis', 'An inner room knows no environment.'],
        ]),
      ],
      'no-restricted-syntax': [
        'error',
        ...NO_FORMS,
        ...NO_DEFAULT_EXPORT,
        ...syntax(
          'CallExpression[callee.property.name=/^toLocale/] :: Text is made where it is read, in server/contract/format.',
          'CallExpression[callee.property.name="localeCompare"] :: Compare codes with < and >: the order must be the same everywhere.',
        ),
      ],
    },
  },
  {
    files: CLOCKLESS_ROOMS,
    rules: {
      'no-restricted-properties': [
        'error',
        mathRandom,
        { object: 'Date', property: 'now', message: NO_DATE },
        { object: 'performance', property: 'now', message: NO_DATE },
      ],
      'no-restricted-globals': [
        'error',
        ...globals([
          ['setTimeout', NO_DATE],
          ['setInterval', NO_DATE],
          ['setImmediate', NO_DATE],
        ]),
      ],
    },
  },
  { files: ['client/**/*.{ts,tsx}'], extends: [reactHooks.configs.flat['recommended-latest']] },
  {
    // What a person started in a terminal answers there.
    files: [
      'server/launch/**',
      'server/main.ts',
      'server/commands/**',
      'simulator/{main,upset}.ts',
      'tests/**',
    ],
    rules: { 'no-console': 'off' },
  },
  {
    files: ['tests/**/*.{ts,tsx}'],
    rules: {
      // A suite is one function around its tests.
      'max-lines-per-function': 'off',
      // `expect(store.append)` names a function; it does not call it without its object.
      '@typescript-eslint/unbound-method': 'off',
    },
  },
  {
    files: ['**/*.mjs', '**/*.js'],
    rules: {
      // The compiler checks these files too, and knows which names there are.
      'no-undef': 'off',
      // A cast in a comment counts for the compiler, but the linter does not see it.
      '@typescript-eslint/no-unsafe-assignment': 'off',
      '@typescript-eslint/no-unsafe-return': 'off',
    },
  },
  {
    files: CONFIG_FILES,
    rules: { 'no-restricted-syntax': ['error', ...NO_FORMS] },
  },
);
