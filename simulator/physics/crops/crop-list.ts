import { CORN } from './corn.ts';
import type { Crop, CropName } from './crop.ts';
import { SOYBEAN } from './soybean.ts';
import { WHEAT } from './wheat.ts';

export const CROPS: Readonly<Record<CropName, Crop>> = { soybean: SOYBEAN, wheat: WHEAT, corn: CORN };
