import { StoreFault } from '../store-fault.ts';
import type { CrossingFault } from './messages.ts';

export function toCrossing(error: unknown): CrossingFault {
  const text = error instanceof Error ? (error.stack ?? error.message) : String(error);
  return { fault: error instanceof StoreFault ? { code: error.code, parts: error.parts } : null, text };
}

export function fromCrossing({ fault, text }: CrossingFault): Error {
  if (fault === null) return new Error(`history worker: ${text}`);
  return new StoreFault(fault.code, fault.parts);
}
