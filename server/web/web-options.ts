import type { FastifyBaseLogger } from 'fastify';
import type { PlantDescription } from '../contract/plant-description.ts';
import type { UnitCode } from '../contract/unit-code.ts';
import type { AlarmStudy } from '../ports/alarm-study.ts';
import type { Clock } from '../ports/clock.ts';
import type { FigureStudy } from '../ports/figure-study.ts';
import type { CommandDesk } from '../ports/command-desk.ts';
import type { ExportHistory } from '../ports/history-export.ts';
import type { MachineWatch } from '../ports/machine-watch.ts';
import type { RecordStore } from '../ports/record-store.ts';
import type { StretchReports } from '../ports/stretch-reports.ts';
import type { SampleStore, SeriesId } from '../ports/sample-store.ts';

/** A tag or figure as the store of samples knows it. */
export interface KeptSeries {
  readonly series: SeriesId;
  readonly unit: UnitCode;
  readonly interpolation: 'step' | 'linear';
  /** Where it was kept in another unit before: from when on it is in this one. */
  readonly unitFromMs?: number;
}

/** What the web needs of the house. */
export interface WebOptions {
  /** The network to listen on; without it, this machine alone. */
  readonly host?: string;
  /** 0 takes a free one. */
  readonly port: number;
  readonly plant: PlantDescription;
  /** Where the built pages are. */
  readonly clientFolder: string;
  readonly samples: SampleStore;
  readonly exportHistory: ExportHistory;
  readonly stretches: StretchReports;
  readonly seriesOf: (name: string) => KeptSeries | undefined;
  readonly records: RecordStore;
  readonly desk: CommandDesk;
  readonly alarms: AlarmStudy;
  readonly figures: FigureStudy;
  /** Left out where the plant names no machines to watch. */
  readonly machines?: MachineWatch;
  readonly clock: Clock;
  readonly log: FastifyBaseLogger;
}

/** Other machines cannot reach it; whoever binds to more must have thought of who may look. */
export const LOOPBACK = '127.0.0.1';
