import type { Band } from '../../server/contract/figure-message.ts';
import { bulletLayout } from './bullet-layout.ts';
import './bullet.css';

/** A value against its band: grey band, dark mark. Says nothing that the words beside it do not say. */
export function Bullet({ value, band }: { readonly value: number; readonly band: Band }) {
  const layout = bulletLayout(value, band);
  if (layout === null) return null;
  const { bandStart, bandEnd, mark, beyond } = layout;
  return (
    <span className="bullet" aria-hidden="true">
      <span className="bullet-band" style={{ left: percent(bandStart), right: percent(1 - bandEnd) }} />
      <span className={`bullet-mark bullet-mark-${beyond}`} style={{ left: percent(mark) }} />
    </span>
  );
}

function percent(share: number): string {
  return `${(share * 100).toFixed(1)}%`;
}
