/** Contrast of two opaque colours in #rrggbb. Source: WCAG 2.2, relative luminance and contrast ratio. */
export function contrast(one: string, other: string): number {
  const [lighter, darker] = [luminance(one), luminance(other)].toSorted((a, b) => b - a);
  return ((lighter ?? 0) + 0.05) / ((darker ?? 0) + 0.05);
}

/** The colour as somebody sees it who lacks one kind of cone. */
export type ColourSight = 'protanopia' | 'deuteranopia' | 'tritanopia';

/** Distance of two colours in linear light after simulation; 0 is the same, about 1.7 is black and white. */
export function seenDistance(one: string, other: string, sight: ColourSight): number {
  const [a, b] = [seen(one, sight), seen(other, sight)];
  return Math.hypot(...a.map((value, index) => value - (b[index] ?? 0)));
}

function luminance(colour: string): number {
  const [red = 0, green = 0, blue = 0] = linear(colour);
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

function linear(colour: string): readonly number[] {
  return [1, 3, 5].map((at) => {
    const channel = Number.parseInt(colour.slice(at, at + 2), 16) / 255;
    return channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4;
  });
}

/** Machado, Oliveira, Fernandes (2009), severity 1.0; matrices from memory, rows sum to 1. */
const SIGHT: Readonly<Record<ColourSight, readonly (readonly number[])[]>> = {
  protanopia: [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  deuteranopia: [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  tritanopia: [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.3039],
  ],
};

function seen(colour: string, sight: ColourSight): readonly number[] {
  const given = linear(colour);
  return SIGHT[sight].map((row) => row.reduce((sum, weight, index) => sum + weight * (given[index] ?? 0), 0));
}
