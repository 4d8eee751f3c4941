/**
 * Every code that a message of ours may start with, and what it means in one sentence. DEVELOPERS.md lists
 * the same codes; a house test compares the two.
 */
export const FAULTS = {
  ARGUMENT_INVALID: 'A command-line argument is not one that this command takes.',
  BACKFILL_REFUSED: 'The plant offers a history of its tags and does not answer when it is asked for.',
  BACKUP_DAMAGED: 'A backup lacks a file or holds one that has changed since it was made.',
  COMMAND_FORBIDDEN: 'The role of whoever gives a command does not allow it.',
  COMMAND_REFUSED: 'A command does not fit the state of things it wants to change.',
  CONDITION_FAULT:
    'The machines could not be judged; they stand as before, and it is tried again in a minute.',
  CONFIG_MISSING: 'The configuration file is not there or cannot be read.',
  CONFIG_RANGE: 'A configured number lies outside what makes sense.',
  CONFIG_REFERENCE: 'The configuration names something that it does not define.',
  CONFIG_SHAPE: 'The configuration lacks a key, or has one too many or of the wrong kind.',
  CONFIG_SYNTAX: 'The configuration is not YAML.',
  DATA_FOLDER: 'The data folder cannot be made, written or locked.',
  FIGURE_FAULT: 'The computation of a figure threw; that figure is unknown, the others go on.',
  FIGURE_INPUT: 'A calculation was called with a value that its caller should never pass.',
  HISTORY_DAMAGED: 'A part of the history file does not fit its checksum; it is left out, the rest is read.',
  HISTORY_UNWRITABLE: 'Readings cannot be written to the history; live view and alarms go on.',
  LAUNCH_BROWSER: 'There is no Chromium for the browser tests, and none could be brought.',
  LAUNCH_BUILD: 'The pages cannot be built from their sources.',
  LAUNCH_FOLDER: 'The project folder cannot be written.',
  LAUNCH_INSTALL: 'The packages cannot be installed.',
  LAUNCH_NODE: 'There is no Node for this platform that is new enough.',
  LAUNCH_PROCESS: 'The server or the simulator ended by itself, or did not stop when asked.',
  LINK_DOWN: 'The plant endpoint does not answer or has stopped sending.',
  LOG_UNWRITABLE: 'The log cannot be written; its lines go to the standard error output meanwhile.',
  NODE_REFUSED: 'The plant refuses a node that a tag names.',
  PORT_TAKEN: 'The network port is in use by another program.',
  READ_REFUSED: 'The plant answers, but does not carry out what it was asked to read.',
  RECORDS_DAMAGED: 'The records file holds an entry that does not fit its kind.',
  RECORDS_NEWER: 'The records file was written by a newer version of this program.',
  RECORDS_UNWRITABLE: 'The records file cannot be opened or written.',
  REQUEST_BUSY: 'The server is at work on as many requests of this kind as it can be.',
  REQUEST_FAILED: 'The server met a fault of its own while answering; its log says more.',
  REQUEST_FOREIGN: 'A request came from another site, or under a name that is not this server.',
  REQUEST_INVALID: 'A request does not fit its schema.',
  REQUEST_UNKNOWN: 'A request names something that does not exist.',
  TICK_LATE: 'The pipeline has not ticked yet, or has stopped ticking.',
} as const;

export type FaultCode = keyof typeof FAULTS;

/** The parts of a message: what it is about, what was found, what was expected and what happens now. */
export interface FaultParts {
  readonly subject: string;
  readonly got: string | number;
  readonly expected: string;
  readonly remedy: string;
}

/** The one form of every message: `CODE subject: got <value>, expected <limit>; <what to do>`. */
export function faultText(code: FaultCode, parts: FaultParts): string {
  return `${code} ${parts.subject}: got ${parts.got}, expected ${parts.expected}; ${parts.remedy}`;
}

/** An error that a person can act on: its message has the one form, and its code can be tested. */
export class Fault extends Error {
  readonly code: FaultCode;

  constructor(code: FaultCode, parts: FaultParts, options?: ErrorOptions) {
    super(faultText(code, parts), options);
    this.name = 'Fault';
    this.code = code;
  }
}
