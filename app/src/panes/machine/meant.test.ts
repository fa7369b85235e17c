import { expect, test } from "vitest";
import type { Member, Solid } from "../../api/types";
import { meant, solidsAt, solidsOf } from "./meant";

const solid = (id: string, path: string, of?: string): Solid => ({
  id,
  path,
  ...(of && { of }),
  body: 0,
  group: "stand",
  thing: "profile",
  mesh: 0,
  matrix: [],
});
const scene = {
  solids: [
    solid("leg.1", "stand.generate.legs"),
    solid("brace.1", "stand.generate.braces[0]"),
    solid("z.motor", "axes.z.motor"),
    solid("z.motor.flange", "axes.z.motor", "z.motor"),
    solid("leg.1.foot.foot", "stand.foot"),
    solid("zz.rail", "axes.zz.part"),
  ],
  members: [{ id: "leg.1.3", solid: "leg.1" } as Member],
  feet: [{ id: "leg.1.foot", at: [0, 0, 0] as [number, number, number], path: "stand.foot" }],
};

test("ids of members and feet lead to what is drawn of them; further pieces come along", () => {
  expect([...solidsOf(scene, ["leg.1.3"])]).toEqual(["leg.1"]);
  expect([...solidsOf(scene, ["leg.1.foot"])]).toEqual(["leg.1.foot.foot"]);
  expect([...solidsOf(scene, ["z.motor"])]).toEqual(["z.motor", "z.motor.flange"]);
  expect(solidsOf(scene, ["nobody"]).size).toBe(0);
});

test("a place in the design means what comes from it, from below it, or else from above it", () => {
  expect([...solidsAt(scene, "axes.z")]).toEqual(["z.motor", "z.motor.flange"]); // and not zz
  expect([...solidsAt(scene, "stand.generate.legs.count")]).toEqual(["leg.1"]);
  expect([...solidsAt(scene, "stand.generate.braces[0].reach")]).toEqual(["brace.1"]);
  expect([...solidsAt(scene, "axes.z.limits.speed")]).toEqual(["z.motor", "z.motor.flange"]);
  expect(solidsAt(scene, "task.rate").size).toBe(0); // a whole section is not lit for it
});

test("a check lights its parts, a path what lies there", () => {
  expect([...meant(scene, { kind: "check", id: "c", parts: ["leg.1"], path: "axes.z", from: "ledger" })]).toEqual([
    "leg.1",
  ]);
  expect([...meant(scene, { kind: "path", id: "axes.z.motor", parts: [], from: "outline" })][0]).toBe("z.motor");
  expect(meant(scene, null).size).toBe(0);
});
