/** One part of the sheet, with its title. */

import type { ComponentChildren, JSX } from "preact";

export interface SectionProps {
  readonly title: string;
  readonly help?: string;
  readonly class?: string;
  readonly children: ComponentChildren;
}

export function Section(props: SectionProps): JSX.Element {
  return (
    <section class={`part ${props.class ?? ""}`} aria-label={props.title}>
      <h2>{props.title}</h2>
      {props.help === undefined ? null : <p class="small soft">{props.help}</p>}
      {props.children}
    </section>
  );
}
