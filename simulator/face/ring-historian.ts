import { DataType, DataValue, StatusCodes, Variant, type IVariableHistorian } from 'node-opcua';
import type { HistoryPoint, HistoryRing } from './history-ring.ts';

type ExtractArguments = Parameters<IVariableHistorian['extractDataValues']>;

const MAX_READ = 100_000;

/** Answers OPC UA HistoryRead from a ring. The face records by itself, so that `push` has nothing to do. */
export function historianOf(ring: HistoryRing, dataType: DataType): IVariableHistorian {
  return {
    push: () => Promise.resolve(),
    extractDataValues(...[details, maxNumber, isReversed, reverseDataValue, callback]: ExtractArguments) {
      const fromMs = timeOf(details.startTime) ?? Number.NEGATIVE_INFINITY;
      const toMs = timeOf(details.endTime) ?? Number.POSITIVE_INFINITY;
      const isBackwards = isReversed || reverseDataValue;
      const limit = isBackwards || maxNumber === 0 ? MAX_READ : maxNumber;
      const points = ring.read({ fromMs, toMs, limit: isBackwards ? 0 : limit });
      const ordered = (isBackwards ? points.toReversed() : points).slice(0, limit);
      callback(
        null,
        ordered.map((point) => dataValueOf(point, dataType)),
      );
    },
  };
}

/** OPC UA's smallest date stands for "not given". */
function timeOf(date: Date | null | undefined): number | undefined {
  const timeMs = date?.getTime();
  return timeMs === undefined || timeMs <= Date.UTC(1601, 0, 2) ? undefined : timeMs;
}

function dataValueOf(point: HistoryPoint, dataType: DataType): DataValue {
  const value = dataType === DataType.Boolean ? point.value !== 0 : point.value;
  const time = new Date(point.timeMs);
  return new DataValue({
    value: new Variant({ dataType, value }),
    statusCode: STATUS[point.quality] ?? StatusCodes.Good,
    sourceTimestamp: time,
    serverTimestamp: time,
  });
}

const STATUS = [StatusCodes.Good, StatusCodes.UncertainLastUsableValue, StatusCodes.BadSensorFailure];
