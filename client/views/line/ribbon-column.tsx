import type { LineFigures } from './line-figures.ts';

export function RibbonColumn({ figures }: { readonly figures: LineFigures }) {
  return <p>{figures.order.machines.length}</p>;
}
