/** Words of the staff pick. */

export const staffPick = {
  title: "Who is at this device?",
  help: "Every entry carries who logged it. Tap your place. Signing in with a PIN comes later: this is your word.",
  none: "No staff is on this device yet. Connect to the clinic's server once.",
  now: "here now",
  waiting: (n: number) =>
    n === 1
      ? "1 entry still waits to be sent. It keeps the name it was logged under."
      : `${n} entries still wait to be sent. They keep the name they were logged under.`,
} as const;
