// The schema of the design file, read once.

import { signal } from "@preact/signals";
import { get } from "../api/client";
import type { Schema } from "../design/schema";

export const schema = signal<Schema | null>(null);

export async function readSchema(): Promise<void> {
  schema.value = await get<Schema>("schema");
}
