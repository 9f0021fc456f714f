/** Words of names, where one calculator may call a thing otherwise than the others. */

import { words } from "../../../strings/calculators";
import type { Calculator } from "./forms";

type Texts = { readonly [name: string]: string | undefined };

/** What a field is called on the screen. */
export function fieldLabel(calculator: Calculator, name: string): string {
  const own = (words.fields_of as { readonly [of: string]: Texts | undefined })[calculator]?.[name];
  return own ?? (words.fields as Texts)[name] ?? plain(name);
}

/** What a figure is called on the screen. */
export function rowLabel(calculator: Calculator, name: string): string {
  const own = (words.rows_of as { readonly [of: string]: Texts | undefined })[calculator]?.[name];
  return own ?? (words.rows as Texts)[name] ?? plain(name);
}

/** What an option of a field is called. */
export function optionLabel(name: string, option: string): string {
  return (words.options as { readonly [of: string]: Texts | undefined })[name]?.[option] ?? option;
}

function plain(name: string): string {
  return name.replaceAll("_", " ");
}
