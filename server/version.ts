/** The program's version, put in by the build from package.json. */
declare const __LOWDEW_VERSION__: string | undefined;
export const VERSION = typeof __LOWDEW_VERSION__ === 'undefined' ? '0.0.0-unbuilt' : __LOWDEW_VERSION__;
