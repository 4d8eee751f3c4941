/** The part of psychrolib that the tests compare with; it brings no types of its own. */
declare module 'psychrolib' {
  interface Psychrometrics {
    readonly SI: number;
    SetUnitSystem(system: number): void;
    GetSatVapPres(celsius: number): number;
    GetHumRatioFromRelHum(celsius: number, relativeHumidity: number, pressurePa: number): number;
    GetTWetBulbFromHumRatio(celsius: number, humidityRatio: number, pressurePa: number): number;
    GetMoistAirEnthalpy(celsius: number, humidityRatio: number): number;
    GetMoistAirVolume(celsius: number, humidityRatio: number, pressurePa: number): number;
  }
  const psychrolib: Psychrometrics;
  export default psychrolib;
}
