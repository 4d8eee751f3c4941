import type { BalanceReport } from '../contract/balance-report.ts';
import type { FigureProvenance } from '../contract/figure-provenance.ts';
import type { LagReport } from '../contract/lag-report.ts';
import type { LineSetup } from '../line/line-setup.ts';
import { explainedFigure } from '../line/step-line.ts';
import type { FigureStudy } from '../ports/figure-study.ts';
import type { PlantState } from './step-plant.ts';

/** What the desk needs of the plant after a tick. */
type ToldState = Pick<PlantState, 'lines' | 'inputs'>;

/** Answers about figures from the newest tick; working one out anew costs less than keeping why for all of them. */
export class FigureDesk implements FigureStudy {
  readonly #lines: readonly LineSetup[];
  #state: ToldState | null = null;

  constructor(lines: readonly LineSetup[]) {
    this.#lines = lines;
  }

  take(state: ToldState): void {
    this.#state = state;
  }

  explained(figure: string): FigureProvenance | null {
    for (const setup of this.#lines) {
      const state = this.#state?.lines.get(setup.graph.id);
      const input = this.#state?.inputs.get(setup.graph.id);
      if (state === undefined || input === undefined) continue;
      const provenance = explainedFigure(setup, { state, input }, figure);
      if (provenance !== null) return provenance;
    }
    return null;
  }

  lags(): readonly LagReport[] {
    return [...(this.#state?.lines.values() ?? [])].flatMap(({ lags }) => [...lags.reports.values()]);
  }

  balances(): readonly BalanceReport[] {
    const reports = [...(this.#state?.lines.values() ?? [])].map(({ balance }) => balance.report);
    return reports.filter((report) => report !== null);
  }
}
