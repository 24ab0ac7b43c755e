/** What to do on a bench that has nothing yet. */
export const FIRST_STEPS = {
  head: 'What to do next',
  steps: [
    {
      say: 'Connect a board that writes a line like this one every few seconds:',
      code: 'LD1 box 3f2a 41 82000 t=70.02 rh=4.81 *210B',
    },
    { say: 'See which ports this machine has:', code: 'npx lowdew ports' },
    {
      say: 'Write a bench file that names the port and the places:',
      code: '[[source]]\nid = "usb"\nport = "/dev/ttyUSB0"\n\n[[station]]\nid = "box"\nrole = "drybox"',
    },
    { say: 'Start lowdew with it:', code: 'npx lowdew run --bench bench.toml' },
  ],
  noBoard: 'No board at hand? Started without a bench file, lowdew runs a simulated bench and says so.',
} as const;
