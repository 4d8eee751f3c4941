/** Loaded before each test file: property tests draw their examples from the one seed. */
import fc from 'fast-check';
import { SEED } from './seed.ts';

fc.configureGlobal({ ...fc.readConfigureGlobal(), seed: SEED });
