/** How a value on the wire is described: the words of JSON Schema that the server's schema uses. */

export interface Shape {
  readonly $ref?: string;
  readonly $comment?: string;
  readonly title?: string;
  readonly description?: string;
  readonly type?: "object" | "array" | "string" | "integer" | "number" | "boolean" | "null";
  readonly enum?: readonly (string | number)[];
  readonly anyOf?: readonly Shape[];
  readonly properties?: { readonly [name: string]: Shape };
  readonly required?: readonly string[];
  readonly additionalProperties?: boolean | Shape;
  readonly items?: Shape;
  readonly minItems?: number;
  readonly maxItems?: number;
  readonly minLength?: number;
  readonly maxLength?: number;
  readonly pattern?: string;
  readonly minimum?: number;
  readonly maximum?: number;
  readonly default?: unknown;
  readonly discriminator?: {
    readonly propertyName: string;
    readonly mapping: { readonly [value: string]: string };
  };
}
