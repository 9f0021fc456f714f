/** Writes `src/wire/types.ts` and `src/wire/schema.ts`; run by the task "wire". */

import { readFileSync, writeFileSync } from "node:fs";
import { type SchemaDocument, schemaText, typesText } from "./generate.ts";

const here = new URL(".", import.meta.url);
const document = JSON.parse(readFileSync(new URL("schema.json", here), "utf8")) as SchemaDocument;
writeFileSync(new URL("../../src/wire/types.ts", here), typesText(document));
writeFileSync(new URL("../../src/wire/schema.ts", here), schemaText(document));
