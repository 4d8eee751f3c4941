import type { IncomingMessage, ServerResponse } from 'node:http';
import type { PlantDescription } from '#server/contract/plant-description.ts';
import { answerStudies } from './fake-alarm-studies.ts';
import { answerFigureStudies } from './fake-figure-studies.ts';
import { answerMachineStudies } from './fake-machine-studies.ts';

/** Answers what single views ask beside the live socket and the history; false where the address is none of these. */
export async function answerAside(
  plant: PlantDescription,
  request: IncomingMessage,
  response: ServerResponse,
): Promise<boolean> {
  const { pathname } = new URL(request.url ?? '/', 'http://127.0.0.1');
  if (answerFigureStudies(plant, pathname, response) || answerMachineStudies(pathname, response)) return true;
  return answerStudies(request, response);
}
