/**
 * A thing to press with a glove: acts on release, and takes a second tap on the same target within
 * 700 ms for a slip of the finger.
 */

import type { ComponentChildren, JSX } from "preact";
import { useRef } from "preact/hooks";

/** Shortest time between two meant taps on one target. [ms] (choice) */
export const SLIP_MS = 700;

interface PressProps {
  readonly onPress: () => void;
  readonly children: ComponentChildren;
  readonly class?: string;
  readonly label?: string;
  readonly disabled?: boolean;
  readonly pressed?: boolean;
  readonly style?: { readonly [property: string]: string };
  /** Steppers are tapped fast on purpose. */
  readonly repeats?: boolean;
  readonly testid?: string;
}

export function Press(props: PressProps): JSX.Element {
  const last = useRef(Number.NEGATIVE_INFINITY);
  const press = (event: Event): void => {
    if (!props.repeats && event.timeStamp - last.current < SLIP_MS) return;
    last.current = event.timeStamp;
    props.onPress();
  };
  return (
    <button
      type="button"
      class={`cc-press ${props.class ?? ""}`}
      disabled={props.disabled ?? false}
      aria-label={props.label}
      aria-pressed={props.pressed}
      style={props.style}
      data-testid={props.testid}
      onClick={press}
    >
      {props.children}
    </button>
  );
}
