import type { Priority } from '../../server/contract/alarm-message.ts';
import './priority-bar.css';

/**
 * The bar beside an alarm. Its form alone tells the priority: two bars critical, one broad bar high, blocks medium,
 * a thin line low.
 */
export function PriorityBar({
  priority,
  isBlinking = false,
}: {
  readonly priority: Priority;
  readonly isBlinking?: boolean;
}) {
  return <span aria-hidden="true" className={`bar bar-${priority}${isBlinking ? ' bar-blinking' : ''}`} />;
}
