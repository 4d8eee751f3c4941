import type { AlarmCatalogue } from '../../server/contract/alarm-catalogue.ts';
import { fetchAlarmCatalogue } from './plant-api.ts';
import { useAnswer, type Asked } from './use-answer.ts';

/** The rules, response cards and suppressions that are configured. */
export function useCatalogue(): Asked<AlarmCatalogue> {
  return useAnswer(fetchAlarmCatalogue);
}
