/** How a list calls a material. Pure. */

/** A key that only points to another one's row bears its row's name: a list would have the two alike. */
const OWN_NAMES: Readonly<Record<string, string>> = { tpu: 'TPU of unknown kind, taken for polyester' };

export const nameInList = (key: string, name: string): string =>
  Object.hasOwn(OWN_NAMES, key) ? OWN_NAMES[key]! : name;
