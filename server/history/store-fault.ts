import { Fault, type FaultCode, type FaultParts } from '../contract/faults.ts';

/** A fault that keeps its parts, so that it can cross from the worker to the caller and be made anew there. */
export class StoreFault extends Fault {
  readonly parts: FaultParts;

  constructor(code: FaultCode, parts: FaultParts, options?: ErrorOptions) {
    super(code, parts, options);
    this.name = 'StoreFault';
    this.parts = parts;
  }
}
