import type { BalanceReport } from '../contract/balance-report.ts';
import type { FigureProvenance } from '../contract/figure-provenance.ts';
import type { LagReport } from '../contract/lag-report.ts';

/** What can be asked of the figures beside their values. */
export interface FigureStudy {
  /** Why a figure is what it is, as of the newest tick; null for one that no line has, and before the first tick. */
  explained(figure: string): FigureProvenance | null;
  /** What the readings say of the lag of each stream, beside the configured one; nothing before the first minutes. */
  lags(): readonly LagReport[];
  /** The newest balance of each line that has one. */
  balances(): readonly BalanceReport[];
}
