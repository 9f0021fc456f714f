/** Words of the tray of refused entries. */

export const tray = {
  title: "Refused entries",
  why: "The server did not take these. They are kept here, and nothing else waits for them.",
  none: "No entry was refused on this device.",
  found: "found",
  expected: "expected",
  where: "where",
  line: "The entry as it was sent",
  read: "I have read it",
} as const;
