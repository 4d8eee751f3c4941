import { fileURLToPath } from 'node:url';

/** The folder of package.json, without a closing slash. */
export const PROJECT_ROOT = fileURLToPath(new URL('../..', import.meta.url)).replace(/[\\/]$/, '');
