/** The part of psychrolib that tests use as a reference; the package brings no types. Pressures are in Pa, enthalpy in J/kg. */
declare module 'psychrolib' {
  interface Psychrometrics {
    readonly SI: number;
    SetUnitSystem(system: number): void;
    GetSatVapPres(celsius: number): number;
    GetStandardAtmPressure(metres: number): number;
    GetHumRatioFromRelHum(celsius: number, relativeHumidity: number, pascals: number): number;
    GetHumRatioFromTWetBulb(celsius: number, wetBulbCelsius: number, pascals: number): number;
    GetTWetBulbFromRelHum(celsius: number, relativeHumidity: number, pascals: number): number;
    GetTDewPointFromRelHum(celsius: number, relativeHumidity: number): number;
    GetMoistAirEnthalpy(celsius: number, humidityRatio: number): number;
    GetMoistAirVolume(celsius: number, humidityRatio: number, pascals: number): number;
  }
  const psychrolib: Psychrometrics;
  export = psychrolib;
}
