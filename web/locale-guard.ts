/**
 * Imported before all else: some systems give a browser a locale that no browser knows (`en-US@posix`), and the chart
 * library asks for number formats in it while it is loaded.
 */
try {
  new Intl.NumberFormat(navigator.language);
} catch {
  Object.defineProperty(navigator, 'language', { configurable: true, get: () => 'en-US' });
  Object.defineProperty(navigator, 'languages', { configurable: true, get: () => ['en-US'] });
}
