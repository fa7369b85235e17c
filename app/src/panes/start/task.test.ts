import { describe, expect, it } from "vitest";
import { allowed, deep, flat, slug, withEnding } from "./task";

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
  it.each([
    ["portal", "portal.yaml"],
    ["a/b.yml", "a/b.yml"],
    ["a.YAML", "a.YAML"],
    ["a.txt", "a.txt.yaml"],
  ])("%j is kept in %j", (typed, path) => expect(withEnding(typed)).toBe(path));
});

describe("what may stand in a field of the task", () => {
  const mass = { description: "mass; 0 kg to 5000 kg", pattern: "^-?[0-9.]+ *(?:g|kg)$", examples: ["12 kg"] };
  const length = { description: "a length", pattern: "^-?[0-9.]+ *(?:mm|m)$", examples: ["450 mm"] };
  const root = {
    properties: {
      task: { properties: { payload: { properties: { mass, size: { items: length } } } } },
      axes: { additionalProperties: { properties: { travel: length } } },
    },
  };
  it.each([
    ["payload_mass", "12 kg", true],
    ["payload_mass", "12 mm", false],
    ["payload_mass", "12", false],
    ["payload_mass", "", true],
    ["payload_size.2", "12 kg", false],
    ["travel.x", "2 m", true],
    ["travel.x", "two", false],
  ])("%s %j: %j", (field, text, fits) => expect(allowed(root, field).fits(text)).toBe(fits));
  it("is said in words: the range where it is known, else an example, and the units", () => {
    expect(allowed(root, "payload_mass").words).toBe("0 kg to 5000 kg; in g, kg");
    expect(allowed(root, "travel.x").words).toBe("e.g. 450 mm; in mm, m");
  });
});
