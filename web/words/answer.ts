/** The answer: headings of at most twelve words, and what they rest on. */
import type { Piece } from '../pieces.ts';
import { capital, duration, inWords, listed, plural, type Spoken } from './ground.ts';

export const ANSWER = {
  asking: 'Asking what is heard.',
  askingTell: 'The page has not had its first word from lowdew yet.',
  noAnswer: 'Cannot tell: lowdew does not answer.',
  noAnswerTell:
    'Is it still running on the machine this page came from? The page goes on asking and needs no reload.',
  lost: (clock: string) => `Cannot tell: no word from lowdew since ${clock}.`,
  lostTell: 'All below is as it was then. The page goes on asking, and fills in what it missed.',
  nothingConnected: 'Nothing is connected yet.',
  nothingConnectedTell: 'As soon as a board speaks, its air stands here: temperature, humidity, dew point.',
  strangers: (names: readonly string[]) =>
    `${listed(names.map((name) => `“${name}”`))} ${names.length === 1 ? 'is' : 'are'} heard, but not in the bench file.`,
  strangersMany: (names: number) =>
    `${capital(inWords(names))} stations are heard that the bench file does not name.`,
  strangersTell: (name: string) =>
    `Add a [[station]] with id = "${name}" and its role to the bench file, then start lowdew again.`,
  neverHeard: (places: readonly string[]) => `Nothing has been heard yet from ${listed(places)}.`,
  neverHeardMany: (stations: number) => `Nothing has been heard yet from ${inWords(stations)} stations.`,
  neverHeardTell: (trouble: string | null) =>
    trouble ?? 'The port is open and no line has come. Is the board powered, and its sketch running?',
  allQuiet: (since: Spoken) => `Cannot tell: nothing has been heard for ${duration(since)}.`,
  allQuietTell: (trouble: string | null) =>
    trouble ?? 'All stations fell quiet. Look at the cable and at what powers the boards.',
  quiet: (where: readonly string[], since: Spoken) =>
    `Cannot tell: ${listed(where)} ${where.length === 1 ? 'has' : 'have'} been quiet for ${duration(since)}.`,
  quietAside: (where: readonly string[], since: Spoken) =>
    `${capital(listed(where))} ${where.length === 1 ? 'has' : 'have'} been quiet for ${duration(since)}.`,
  unheard: (where: readonly string[]) => `Cannot tell: nothing has been heard yet from ${listed(where)}.`,
  whenLastHeard: (clock: string, values: string) => `When last heard, at ${clock}, it was at ${values}.`,
  unheardAside: (where: string) => `Nothing has been heard yet from ${where}.`,
  othersHeard: (others: number, alsoQuiet = 0) =>
    others === 0
      ? ''
      : alsoQuiet > 0
        ? `${capital(inWords(others))} other ${plural(others, 'station')} ${others === 1 ? 'is' : 'are'} heard.`
        : others === 1
          ? 'The other station is heard.'
          : `The other ${inWords(others)} stations are heard.`,
  humidityFault: (where: string) => `The humidity of ${where} is not heard.`,
  temperatureFault: (where: string) => `The temperature of ${where} is not heard.`,
  alsoNotHeard: (places: readonly string[]) =>
    `${capital(listed(places))} ${places.length === 1 ? 'is' : 'are'} heard, but ${places.length === 1 ? 'its' : 'their'} temperature is not either.`,
  implausible: (where: string, value: string) => `${capital(where)} reads ${value}, which is not used.`,
  implausibleTell: 'That lies outside all a working sensor can mean. Look at its wires and its supply.',
  faultTell: (what: string) => `${capital(what)}. Look at its wires and its supply.`,
  heardOne: (where: string, values: string) => `${capital(where)} is heard: ${values}.`,
  heard: (stations: number, where: string, temperature: string) =>
    `${capital(inWords(stations))} stations are heard; ${where} is at ${temperature}.`,
  heardOnly: (stations: number) =>
    stations === 1 ? 'One station is heard.' : `${capital(inWords(stations))} stations are heard.`,
  holds: (amount: string, band: string | null): Piece[] => [
    `Its air holds ${amount} of water`,
    ...(band === null ? [] : [' ', { soft: `(${band})` }]),
  ],
  roomHolds: (amount: string, band: string | null): Piece[] => [
    `, the room’s ${amount}`,
    ...(band === null ? [] : [' ', { soft: `(${band})` }]),
  ],
  belowZero: (humidity: string, bound: string) =>
    `Its humidity sensor reads ${humidity}, drier than it can measure: dew point at or below ${bound}.`,
  chamberAt: (where: string, temperature: string) => `${capital(where)} is at ${temperature}.`,
  and: (first: string, second: string) => `${first} and ${second}`,
  stop: '.',
} as const;

export const LOOK_AT = {
  head: 'What to look at',
  lastLine: (where: string) => `last line from ${where}`,
  never: 'none yet',
  others: (others: number) => (others === 1 ? 'the other station' : `the other ${inWords(others)} stations`),
  heard: 'heard',
  note: 'Nothing is claimed about a place while it is quiet: its heater may be off too.',
} as const;
