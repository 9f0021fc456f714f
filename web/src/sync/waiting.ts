/** Growing delays with a random spread, so that devices do not all come back at once. */

const FIRST_MS = 1000;
const LONGEST_MS = 30_000;

/** Delay before a try after so many failures: half of it sure, half of it random. [ms] */
export function delayMs(failures: number, random: number = Math.random()): number {
  const full = Math.min(LONGEST_MS, FIRST_MS * 2 ** Math.max(0, failures - 1));
  return full / 2 + (full / 2) * random;
}

/** Wait, or be woken; called off it never answers. */
export class Sleep {
  #handle: ReturnType<typeof setTimeout> | undefined;
  #awake: (() => void) | null = null;

  forMs(ms: number): Promise<void> {
    this.wake();
    return new Promise((resolve) => {
      this.#awake = resolve;
      this.#handle = setTimeout(() => this.wake(), ms);
    });
  }

  wake(): void {
    clearTimeout(this.#handle);
    const awake = this.#awake;
    this.#awake = null;
    awake?.();
  }
}
