import type { Command } from './commands.ts';
import type { Actor } from './records.ts';

/** Takes an alarm away without an end: for those who answer for the machine, by ISA-18.2 under a permit of its own. */
const FOR_MAINTENANCE: ReadonlySet<Command['kind']> = new Set([
  'take-alarm-out-of-service',
  'put-alarm-back-in-service',
  'take-machine-out-of-service',
  'put-machine-back-in-service',
  // What counts as healthy is for those to say who know the machine.
  'learn-machine',
]);

/** Who may give a command: a viewer none, an operator all but those that need maintenance. */
export function rolesFor(kind: Command['kind']): readonly Actor['role'][] {
  return FOR_MAINTENANCE.has(kind)
    ? ['maintenance', 'manager', 'engineer']
    : ['operator', 'maintenance', 'manager', 'engineer'];
}
