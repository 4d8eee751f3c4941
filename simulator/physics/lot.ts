/** What a lot is made of. Order matters: it is the order of the components in a parcel. */
export const COMPONENTS = [
  'good',
  'light',
  'split',
  'damaged',
  'otherCrop',
  'weed',
  'chaff',
  'dust',
  'stone',
  'clod',
] as const;

export type Component = (typeof COMPONENTS)[number];
