import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { expect, it, describe as suite } from "vitest";
import type { Part } from "../api/types";
import { complete, spot } from "./complete";
import { goodName, offered, rename } from "./names";
import { outline, reuse, starter, walk } from "./outline";
import { offset, Places, parent } from "./places";
import { describe, example, type Schema, units } from "./schema";
import { dedent, stepped, withUnit, written, writtenText, writtenVector } from "./write";

const schema = JSON.parse(
  execFileSync("go", ["run", "./cmd/spanwright", "schema"], { cwd: "..", encoding: "utf8", maxBuffer: 1 << 24 }),
) as Schema;
const text = readFileSync("../examples/seedling-gantry/gantry.yaml", "utf8");
const places = new Places(text);
const motor: Part = {
  id: "servo-750",
  kind: "motor",
  title: "servo",
  facts: [["power", "750 W"]],
  representative: true,
};

suite("places", () => {
  it("finds the text of a path", () => {
    expect(places.written("axes.x.travel")).toBe("4 m");
    expect(places.written("task.cycle[1].to")).toBe("feed");
    expect(places.written("task.payload.size[2]")).toBe("400 mm");
    expect(places.written("axes.x.nothing")).toBeUndefined();
  });
  it("finds the path of every value it knows", () => {
    for (const p of places.all) {
      if (p.value.to > p.value.from) expect(places.at(p.value.from)).toMatch(p.path === "" ? /^/ : prefix(p.path));
    }
  });
  it("stays on the closest holder where a path is absent", () => {
    expect(places.near("stand.foot.colour")?.path).toBe("stand.foot");
    expect(places.near("nowhere")).toBeUndefined();
  });
  it("says why a text cannot be read", () => {
    expect(new Places("a: [1, 2\nb: 3").fault).not.toBeNull();
  });
  it("counts columns in code points", () => {
    expect(offset("a: 🡒x", 1, 5)).toBe(5);
    expect(offset("a\nb: c", 2, 4)).toBe(5);
    expect(offset("a", 9, 9)).toBe(1);
  });
});

function prefix(path: string): RegExp {
  return new RegExp(`^${path.replaceAll(/[.[\]]/g, "\\$&")}`);
}

suite("schema", () => {
  it("knows what is required, and its help", () => {
    expect(describe(schema, "axes.x.limits.speed")).toMatchObject({ form: "value", required: true });
    expect(describe(schema, "axes.any-name.motor")?.help).toContain("motor");
    expect(describe(schema, "axes.x.colour")).toBeNull();
  });
  it.each([
    ["task.payload.size", "vector"],
    ["task.points", "names"],
    ["task.points.feed", "row"],
    ["task.cycle", "list"],
    ["stand.supports", "words"],
    ["axes.x.moves", "choice"],
    ["axes.x.direction", "choice"],
    ["task", "group"],
  ])("%s is written as %s", (path, form) => expect(describe(schema, path)?.form).toBe(form));
  it("reads unit names out of the pattern", () => {
    const of = (path: string) => units(describe(schema, path)!.schema);
    expect(of("axes.x.travel")).toEqual(["um", "mm", "cm", "m", "km", "in", "ft"]);
    expect(of("axes.x.limits.acceleration")).toContain("m/s2");
    expect(of("task.surroundings.temperature[1]")).toContain("degC");
    expect(of("task.duty.years")).toEqual([]);
  });
});

suite("outline", () => {
  const tree = outline(places, schema);
  const byPath = new Map([...walk(tree)].map((f) => [f.path, f]));
  it("holds every value of the text exactly once", () => {
    const leaves = places.all.filter((p) => p.node && !("items" in p.node) && !p.path.endsWith("]"));
    expect(leaves.filter((p) => !byPath.has(p.path)).map((p) => p.path)).toEqual([]);
    expect([...walk(tree)]).toHaveLength(byPath.size);
  });
  it("shows defaults of what is absent", () => {
    expect(byPath.get("axes.x.shaper")).toMatchObject({ present: false, fallback: "none" });
    expect(byPath.get("axes.x.brake")).toMatchObject({ present: false });
  });
  it("keeps keys that the schema does not know", () => {
    const odd = outline(new Places("spanwright: 1\ncolour: red\n"), schema);
    expect(odd.find((f) => f.key === "colour")).toMatchObject({
      present: true,
      value: "red",
      help: expect.stringMatching(/not a key/),
    });
  });
  it("keeps the fields that an edit leaves alone, and only those", () => {
    const later = new Map(
      [...walk(reuse(tree, outline(new Places(text.replace("travel: ", "travel: 0")), schema)))].map((f) => [
        f.path,
        f,
      ]),
    );
    const other = [...later].filter(([path, f]) => f !== byPath.get(path)).map(([path]) => path);
    const path = other.find((p) => p.endsWith(".travel"))!;
    expect(later.get(path)!.value).toBe(`0${byPath.get(path)!.value}`);
    expect(other).toEqual(["axes", parent(path), path]);
    expect(reuse(tree, outline(places, schema))).toBe(tree);
  });
  it("begins a new entry with all that is needed", () => {
    const made = starter(schema, "equipment.cables", (_, s) => example(s, schema) || "x");
    expect(made).toMatch(/^\{name: .*to: .*diameter: .*mass: .*\}$/);
  });
});

suite("completion", () => {
  const at = (marked: string) => {
    const cursor = marked.indexOf("|");
    const plain = marked.replace("|", "");
    return {
      spot: spot(plain, cursor),
      options: complete(plain, cursor, schema, new Places(plain), [motor])?.options ?? [],
    };
  };
  it.each([
    ["ax|", { as: "key", path: "", typed: "ax" }],
    ["axes:\n  x:\n    motor: se|", { as: "value", path: "axes.x.motor", typed: "se" }],
    ["axes:\n  x:\n    limits: {speed: 1 m/s, jer|", { as: "key", path: "axes.x.limits", typed: "jer" }],
    ["axes:\n  x:\n    limits:\n      sp|", { as: "key", path: "axes.x.limits", typed: "sp" }],
    ["task:\n  cycle:\n    - {to: a}\n    - {to: |", { as: "value", path: "task.cycle[2].to", typed: "" }],
    ["task:\n  cycle:\n    - to: a\n      dw|", { as: "key", path: "task.cycle[1]", typed: "dw" }],
    [
      "task:\n  cycle:\n  - to: a\n  - to: b\n    loaded: y|",
      { as: "value", path: "task.cycle[2].loaded", typed: "y" },
    ],
    ["task:\n  payload:\n    size: [1 m, 2 |", { as: "value", path: "task.payload.size[2]", typed: "2 " }],
    ["task:\n  tool:\n    mass: 1 kg\n# note\n  poi|", { as: "key", path: "task", typed: "poi" }],
  ])("knows where %j stands", (marked, want) => expect(at(marked).spot).toMatchObject(want));
  it("offers keys that are not there yet", () => {
    const labels = at("axes:\n  x:\n    travel: 1 m\n    t|").options.map((o) => o.label);
    expect(labels).toContain("motor");
    expect(labels).not.toContain("travel");
  });
  it("offers units behind a number", () => {
    expect(at("axes:\n  x:\n    travel: 450 |").options.map((o) => o.insert)).toContain("mm");
    expect(at("axes:\n  x:\n    travel: 450|").options.map((o) => o.insert)).toContain(" mm");
  });
  it("offers the points of the task where a step goes to", () => {
    const labels = at("task:\n  points:\n    a: {x: 1 m}\n    b: {x: 2 m}\n  cycle:\n    - {to: |}").options.map(
      (o) => o.label,
    );
    expect(labels).toEqual(["a", "b"]);
  });
  it("offers parts of the kind that fits", () => {
    const marked: Schema = structuredClone(schema);
    const axis = marked.properties!.axes!.additionalProperties as Schema;
    axis.properties!.motor = { ...axis.properties!.motor, "x-part": ["motor"] };
    const typed = "axes:\n  x:\n    motor: ";
    const got = complete(typed, typed.length, marked, new Places(typed), [motor, { ...motor, id: "g", kind: "gear" }]);
    expect(got?.options.map((o) => o.label)).toEqual(["servo-750"]);
  });
});

suite("names", () => {
  it("renames a point wherever it is used, and nothing else", () => {
    const next = rename(places, "task.points.feed", "belt");
    expect(new Places(next).written("task.cycle[1].to")).toBe("belt");
    expect(new Places(next).keys("task.points")).toEqual(["belt", "above_feed", "above_table", "table"]);
    expect(next).toContain("above_feed");
    expect(next.length).toBe(text.length);
  });
  it("renames an axis in points, ends, carriers and cables, with comments kept", () => {
    const next = new Places(rename(places, "axes.y", "bridge"));
    expect(next.keys("axes")).toEqual(["x", "bridge", "z"]);
    expect(next.keys("equipment.ends")).toEqual(["x", "bridge", "z"]);
    expect(next.keys("task.points.feed")).toEqual(["x", "bridge", "z"]);
    expect(next.written("equipment.cables[4].to")).toBe("bridge");
    expect(next.written("axes.bridge.direction")).toBe("y");
    expect(next.text).toContain("# the mast hangs on the side of the bridge");
  });
  it("knows which names may stand where", () => {
    expect(offered(places, "task.cycle[3].to", "value")).toEqual(["feed", "above_feed", "above_table", "table"]);
    expect(offered(places, "axes.x.motor", "value")).toEqual([]);
  });
  it.each([
    ["left.front", true],
    ["a b", false],
    ["-a", false],
    ["tisch_2", true],
  ])("%j is a name: %s", (name, good) => expect(goodName(name)).toBe(good));
});

suite("writing", () => {
  it("keeps the unit for a bare number", () => {
    expect(withUnit("2.1", "1.8 m")).toBe("2.1 m");
    expect(withUnit("900 mm", "1.8 m")).toBe("900 mm");
    expect(withUnit("plate", "1.8 m")).toBe("plate");
    expect(withUnit("3", "2")).toBe("3");
  });
  it.each([
    ["1.8 m", 1, "1.9 m"],
    ["450 mm", -1, "440 mm"],
    ["0.5 mm", 1, "0.51 mm"],
    ["9 kg", 1, "9.1 kg"],
    ["100 mm", -1, "90 mm"],
    ["plate", 1, "plate"],
  ])("steps %s by %i to %s", (from, by, to) => expect(stepped(from, by)).toBe(to));
  it("quotes what would read as something else", () => {
    expect(written("1.8 m")).toBe("1.8 m");
    expect(written("a: b")).toBe('"a: b"');
    expect(written("x # y")).toBe('"x # y"');
    expect(written("")).toBe('""');
    expect(writtenText("yes: no")).toBe('"yes: no"');
    expect(writtenVector(["1 m", "2 m"])).toBe("[1 m, 2 m]");
  });
  it("takes the indentation off a block", () => expect(dedent("a: 1\n    b: 2", 4)).toBe("a: 1\nb: 2"));
});

suite("the line about a folded group", () => {
  const root = {
    properties: {
      surroundings: {
        properties: {
          temperature: {
            description: "lowest and highest; -60 degC to 120 degC",
            items: { pattern: "(?:degC|K)$" },
            minItems: 2,
            maxItems: 2,
          },
          size: { items: { pattern: "(?:mm)$" }, minItems: 3, maxItems: 3 },
          at: { items: { pattern: "(?:mm)$" }, minItems: 3, maxItems: 3 },
        },
      },
    },
  };
  it.each([
    ["temperature: [8 degC, 35 degC]", "8 to 35 degC"],
    ["temperature: [280 K, 35 degC]", "280 K to 35 degC"],
    ["size: [1 mm, 2 mm, 3 mm]", "1 mm × 2 mm × 3 mm"],
    ["at: [1 mm, 2 mm, 3 mm]", "(1 mm, 2 mm, 3 mm)"],
  ])("%s reads %j", (text, words) => {
    expect(outline(new Places(`surroundings:\n  ${text}\n`), root)[0]!.summary).toBe(words);
  });
});
