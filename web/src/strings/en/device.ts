/** Words of This device. */

export const device = {
  title: "This device",
  name: "Name of this device",
  room: "Room it stands in",
  no_room: "No room",
  distance: "Read from",
  distances: {
    hand: "the hand, 0.4\u00a0m",
    arm: "arm's length, 0.7\u00a0m",
    stand: "a stand, 1\u00a0m",
    wall: "the wall, 2\u00a0m",
  },
  look: "Light",
  looks: { auto: "by screen", dark: "dark", light: "light" },
  ruler: "Size on glass",
  ruler_help:
    "Hold a ruler to the bar. Make it 50\u00a0mm long, so that targets are as wide as a gloved finger needs.",
  ruler_bar: "this bar should be 50\u00a0mm",
  notation: "Teeth are shown as",
  notations: {
    iso3950: "two digits (ISO 3950)",
    universal: "numbers 1 to 32",
    quadrant: "quadrant and position",
  },
  identity: "Identity of this device",
  sent: "Everything logged here is on the server.",
  storage_kept: "The browser has agreed to keep what is stored here.",
  connection: "Connection, and codes for other devices",
  version: (version: string) => `Server version ${version}`,
} as const;
