import type { AlarmSentenceParts, AlarmSentences, FormatWords } from './format-words.ts';

const LOCK_OUT = 'Lock out and tag before you open a guard or reach in.';

/** The English words of quantities, reasons and alarms. */
export const wordsEn: FormatWords = {
  locale: 'en-GB',
  decimalMark: '.',
  contactOn: 'on',
  contactOff: 'off',
  contactUnit: 'on or off',
  atMost: (edge) => `at most ${edge}`,
  atLeast: (edge) => `at least ${edge}`,
  target: (value) => `target ${value}`,
  over: (amount) => `${amount} over`,
  under: (amount) => `${amount} under`,
  points: (amount) => `${amount} points`,
  onTarget: 'on target',
  quality: { good: 'good', uncertain: 'uncertain', stale: 'stale', bad: 'bad' },
  priority: { critical: 'critical', high: 'high', medium: 'medium', low: 'low' },
  alarmState: {
    normal: 'normal',
    unacknowledged: 'unacknowledged',
    acknowledged: 'acknowledged',
    'returned-unacknowledged': 'cleared, not yet acknowledged',
    'latched-unacknowledged': 'cleared and latched, not yet acknowledged',
    'latched-acknowledged': 'latched until reset',
    shelved: 'shelved',
    'suppressed-by-design': 'suppressed by design',
    'out-of-service': 'out of service',
  },
  alarm: {
    'high-high': overLimit('far above its limit'),
    high: overLimit('above its limit'),
    low: underLimit('below its limit'),
    'low-low': underLimit('far below its limit'),
    'above-band': {
      title: ({ subject }) => `${subject}: above band`,
      detail: (parts) => compared(parts, 'the band ends at'),
      advice: sampleFirst,
    },
    'below-band': {
      title: ({ subject }) => `${subject}: below band`,
      detail: (parts) => compared(parts, 'the band starts at'),
      advice: sampleFirst,
    },
    'above-target': {
      title: ({ subject, deviation }) =>
        deviation === '' ? `${subject} over target` : `${subject} ${deviation} over target`,
      detail: (parts) => compared(parts, 'target'),
      advice: () =>
        'Check the scale that it is measured with, then what is set. The product label comes first.',
    },
    'below-target': {
      title: ({ subject, deviation }) =>
        deviation === '' ? `${subject} under target` : `${subject} ${deviation} under target`,
      detail: (parts) => compared(parts, 'target'),
      advice: () =>
        'Check the scale that it is measured with, then what is set. The product label comes first.',
    },
    'machine-stopped': {
      title: ({ machine }) => `${machine} stopped`,
      detail: () => 'Its run contact is off while the line should run.',
      advice: () => LOCK_OUT,
    },
    'stopped-first': {
      title: ({ machine }) => `${machine} stopped first`,
      detail: ({ followers, followedWithin }) =>
        followers.length === 0
          ? 'No other machine has followed so far.'
          : `Stopped after it, within ${followedWithin}: ${followers.join(', ')}.`,
      advice: () => LOCK_OUT,
    },
    'bad-quality': {
      title: ({ subject }) => `${subject}: bad signal`,
      detail: () => 'The plant marks this value as bad, so figures that need it are unknown.',
      advice: () => 'Check the sensor and its wiring.',
    },
    'first-stop-unclear': {
      title: ({ candidates }) => `Stopped first: ${candidates.join(' or ')}`,
      detail: ({ followers, followedWithin }) =>
        followers.length === 0
          ? 'Neither times nor interlocks tell which of them.'
          : `Neither times nor interlocks tell which of them. Stopped after it, within ${followedWithin}: ${followers.join(', ')}.`,
      advice: () => LOCK_OUT,
    },
    contact: {
      title: ({ subject }) => subject,
      detail: () => '',
      advice: () => LOCK_OUT,
    },
    'liquid-without-seed': {
      title: ({ machine }) => `${machine}: liquid without seed`,
      detail: () => 'A pump runs while no seed flows through the treater.',
      advice: () =>
        'Stop the pump at the treater. Wear what the product label asks for before you open anything.',
    },
    'seed-without-liquid': {
      title: ({ machine }) => `${machine}: seed without liquid`,
      detail: () => 'Seed flows through the treater while no pump runs: it leaves untreated.',
      advice: () => 'Keep this seed apart. Check pump, tank and lines.',
    },
    'rising-fast': changing('rises fast'),
    'falling-fast': changing('falls fast'),
    'drift-up': changing('drifts upward'),
    'drift-down': changing('drifts downward'),
    'link-lost': {
      title: () => 'Link to the plant lost',
      detail: () => 'No readings arrive. The plant runs on by itself; this screen does not see it.',
      advice: () => 'Watch the line at the machines until the link is back.',
    },
  },
  unknown: {
    'line-stopped': 'line stopped',
    'line-filling': 'line filling',
    'machine-bypassed': 'bypassed',
    'not-measured': 'not measured',
    'waiting-for-first-reading': 'waiting for a reading',
    'link-down': 'no link to plant',
    'tag-stale': 'reading too old',
    'tag-bad': 'bad signal',
    'window-uncovered': 'too few readings',
    'inputs-inconsistent': 'readings disagree',
    fault: 'fault in this figure',
    'no-lot': 'no lot is running',
    'no-sample': 'no hand sample yet',
    'not-observable': 'too small to tell',
  },
  unknownSentence: {
    'line-stopped': 'The line is stopped: too little seed flows for a meaningful quotient.',
    'line-filling': 'The line is filling: the seed weighed at the end is not yet the seed that entered.',
    'machine-bypassed': 'The machine is bypassed, so nothing passes it.',
    'not-measured': 'The plant has no instrument for this.',
    'waiting-for-first-reading': 'No reading has arrived yet.',
    'link-down': 'The link to the plant is down; the figure returns with the link.',
    'tag-stale': 'A reading that it needs is older than allowed. Is the instrument still answering?',
    'tag-bad': 'The plant marks a reading that it needs as bad. Check the sensor.',
    'window-uncovered': 'Readings cover too little of the time this figure speaks of.',
    'inputs-inconsistent': 'The readings contradict each other, for example more comes out than went in.',
    fault: 'The computation failed; the server has logged why. Other figures are not affected.',
    'no-lot': 'No lot is running: start one, and the figure counts from its first seed.',
    'no-sample': 'Nobody has analysed a hand sample of this stream yet. Take one and enter it.',
    'not-observable': 'The scales around it are not good enough to say this about so small a stream.',
  },
  figureKind: {
    'feed-rate': 'Feed rate',
    'clean-rate': 'Clean seed rate',
    'treated-rate': 'Treated seed rate',
    'reject-rate': 'Reject rate',
    yield: 'Yield',
    'reject-ratio': 'Reject ratio',
    'reject-share': 'Reject share',
    dose: 'Dose',
    'product-dose': 'Product dose',
    closure: 'Balance closure',
    'lot-mass': 'Lot done',
    moisture: 'Seed moisture',
    'good-seed-lost': 'Good seed lost',
    'feed-mass': 'Feed',
    'clean-mass': 'Clean seed',
    'treated-mass': 'Treated seed',
    'reject-mass': 'Rejects',
    'rejects-by-difference': 'Rejects and losses, by difference',
    'dry-matter-yield': 'Yield of dry matter',
    'water-removed': 'Water removed',
    'good-seed-lost-worth': 'Good seed lost, in money',
    'dose-variation': 'Variation of the dose',
    'liquid-used': 'Liquid used',
    'time-to-empty': 'Time until the tank is empty',
    'reconciled-rate': 'Rate that fits all scales',
    'instrument-error': 'Instrument error',
    'off-route': 'Gate off the route',
    'liquid-without-seed': 'Liquid without seed',
    'seed-without-liquid': 'Seed without liquid',
  },
  figureWindow: { now: 'now', 'ten-minutes': 'last 10 min', lot: 'this lot', shift: 'this shift' },
  shareOf: (name) => `${name}, share of line feed`,
  ratioOf: (name, machine) => `${name}, share of ${machine === '' ? 'its' : machine} feed`,
  productDose: (product) => `${product} dose`,
  ofThing: (kind, thing) => `${kind}: ${thing}`,
};

function sampleFirst({ machine, subject }: AlarmSentenceParts): string {
  if (machine === subject) return 'Take a hand sample before you change a setting.';
  return `Look at ${machine} and take a hand sample before you change a setting.`;
}

function overLimit(words: string): AlarmSentences {
  return {
    title: ({ subject }) => `${subject} ${words}`,
    detail: (parts) => compared(parts, 'limit'),
    advice: () => 'Find out why before you reset anything.',
  };
}

function underLimit(words: string): AlarmSentences {
  return overLimit(words);
}

function changing(words: string): AlarmSentences {
  return {
    title: ({ subject }) => `${subject} ${words}`,
    detail: (parts) => compared(parts, 'limit'),
    advice: () => 'Look at its trend over the last hours before you decide.',
  };
}

/** "At 5.08 fl oz/bu; target 4.80 fl oz/bu." with what is missing left out. */
function compared({ value, limit }: AlarmSentenceParts, word: string): string {
  const pieces = [value === '' ? '' : `at ${value}`, limit === '' ? '' : `${word} ${limit}`].filter(Boolean);
  if (pieces.length === 0) return '';
  const text = pieces.join('; ');
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
}
