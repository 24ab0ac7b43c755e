/** When the tests of this folder begin: noon, a whole five minutes. */
export const START_MS = Date.UTC(2026, 7, 22, 12, 0, 0);
