/**
 * A failure that the person at the keyboard can put right: one line, with what to do.
 *
 *     CODE subject: got <value>, expected <limit>; <remedy>
 */
export interface FaultParts {
  readonly code: FaultCode;
  readonly subject: string;
  readonly got: string;
  readonly expected: string;
  readonly remedy: string;
}

export type FaultCode = (typeof FAULT_CODES)[number];

/** All codes of the simulator. */
export const FAULT_CODES = [
  'SIM_ARGUMENT',
  'SIM_PORT',
  'SIM_UPSET_FILE',
  'SIM_UPSET_NAME',
  'SIM_CONTROL',
  'SIM_TRUTH',
] as const;

export class SimulatorFault extends Error {
  readonly code: FaultCode;

  constructor(parts: FaultParts, cause?: unknown) {
    super(
      `${parts.code} ${parts.subject}: got ${parts.got}, expected ${parts.expected}; ${parts.remedy}`,
      cause === undefined ? undefined : { cause },
    );
    this.name = 'SimulatorFault';
    this.code = parts.code;
  }
}
