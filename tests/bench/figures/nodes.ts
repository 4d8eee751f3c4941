/** The instruments that the figures rest on most. */
export const FEED = 'Intake.MassFlow';
export const CLEAN = 'Clean.MassFlow';
export const WHEEL = 'Treater.SeedFlow';
export const PUMPS = ['Treater.PumpAFlow', 'Treater.PumpBFlow', 'Treater.PumpCFlow'];
