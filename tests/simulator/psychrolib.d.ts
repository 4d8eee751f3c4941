/** The part of psychrolib that the tests compare with; it brings no types of its own. */
declare module 'psychrolib' {
  const psychrolib: {
    readonly SI: number;
    SetUnitSystem(system: number): void;
    GetHumRatioFromRelHum(celsius: number, relativeHumidity: number, pressurePa: number): number;
    GetTWetBulbFromHumRatio(celsius: number, humidityRatio: number, pressurePa: number): number;
    GetMoistAirEnthalpy(celsius: number, humidityRatio: number): number;
  };
  export = psychrolib;
}
