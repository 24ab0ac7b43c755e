declare module 'psychrolib' {
  interface Psychrolib {
    readonly SI: number;
    SetUnitSystem(system: number): void;
    GetSatVapPres(dryBulb: number): number;
    GetTDewPointFromRelHum(dryBulb: number, relativeHumidity: number): number;
    GetHumRatioFromRelHum(dryBulb: number, relativeHumidity: number, pressure: number): number;
  }
  const psychrolib: Psychrolib;
  export default psychrolib;
}
