/**
 * Means over the sixty whole seconds up to an instant. Sums are kept in whole millionths, the line's own resolution,
 * so that adding and taking away leaves no trace however long the program runs.
 */

/** 20 Hz for a minute; a faster board keeps its newest readings only. */
const MOST_READINGS = 1200;
const WINDOW_S = 60;
const MILLIONTHS = 1e6;

export interface Minute {
  add(atMs: number, temperatureC: number, humidityPercent: number | null): void;
  /** Means over the seconds S−59…S, S being the whole second of `atMs`; null where nothing was heard in them. */
  meansAt(atMs: number): { airTemperatureC: number; relativeHumidityPercent: number | null } | null;
  /** Forgets all. */
  clear(): void;
}

export function createMinute(): Minute {
  // Parallel columns used as a queue; `head` moves on and the front is cut off now and then.
  let seconds: number[] = [];
  let temperatures: number[] = [];
  let humidities: (number | null)[] = [];
  let head = 0;
  let temperatureSum = 0;
  let humiditySum = 0;
  let humidityCount = 0;

  const dropFirst = (): void => {
    temperatureSum -= temperatures[head] as number;
    const humidity = humidities[head] as number | null;
    if (humidity !== null) {
      humiditySum -= humidity;
      humidityCount--;
    }
    head++;
    if (head > MOST_READINGS) {
      seconds = seconds.slice(head);
      temperatures = temperatures.slice(head);
      humidities = humidities.slice(head);
      head = 0;
    }
  };

  return {
    add(atMs, temperatureC, humidityPercent) {
      const temperature = Math.round(temperatureC * MILLIONTHS);
      const humidity = humidityPercent === null ? null : Math.round(humidityPercent * MILLIONTHS);
      seconds.push(Math.floor(atMs / 1000));
      temperatures.push(temperature);
      humidities.push(humidity);
      temperatureSum += temperature;
      if (humidity !== null) {
        humiditySum += humidity;
        humidityCount++;
      }
      if (seconds.length - head > MOST_READINGS) dropFirst();
    },
    meansAt(atMs) {
      const second = Math.floor(atMs / 1000);
      while (head < seconds.length && (seconds[head] as number) <= second - WINDOW_S) dropFirst();
      const count = seconds.length - head;
      if (count === 0) return null;
      return {
        airTemperatureC: temperatureSum / count / MILLIONTHS,
        relativeHumidityPercent: humidityCount === 0 ? null : humiditySum / humidityCount / MILLIONTHS,
      };
    },
    clear() {
      seconds = [];
      temperatures = [];
      humidities = [];
      head = 0;
      temperatureSum = 0;
      humiditySum = 0;
      humidityCount = 0;
    },
  };
}
