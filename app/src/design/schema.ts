/** Schema is the part of JSON Schema that the design file uses. */
export interface Schema {
  title?: string;
  description?: string;
  type?: string | string[];
  $ref?: string;
  $defs?: Record<string, Schema>;
  properties?: Record<string, Schema>;
  additionalProperties?: Schema | boolean;
  propertyNames?: Schema;
  items?: Schema;
  minItems?: number;
  maxItems?: number;
  minProperties?: number;
  required?: string[];
  enum?: (string | number | boolean)[];
  anyOf?: Schema[];
  default?: unknown;
  examples?: unknown[];
  minimum?: number;
  maximum?: number;
  pattern?: string;
  "x-part"?: string[];
}
