import { describe, expect, it } from "vitest";
import { deep, flat, slug } from "./task";

const task = { payload_mass: "12 kg", payload_size: ["1 m", "2 m", "3 m"], travel: { x: "4 m", z: "1 m" } };

describe("the task of a new design", () => {
  it("is one field a value, and comes back in its own form", () => {
    expect(flat(task)).toEqual({
      payload_mass: "12 kg",
      "payload_size.0": "1 m",
      "payload_size.1": "2 m",
      "payload_size.2": "3 m",
      "travel.x": "4 m",
      "travel.z": "1 m",
    });
    expect(deep(task, flat(task))).toEqual(task);
    expect(deep(task, { ...flat(task), "travel.z": "900 mm" }).travel).toEqual({ x: "4 m", z: "900 mm" });
  });
  it.each([
    ["Crate portal 2", "crate-portal-2"],
    ["Größe", "gro-e"],
    ["///", ""],
  ])("%j is filed as %j", (name, file) => expect(slug(name)).toBe(file));
});
