import { describe, expect, it } from "vitest";
import type { Diagnostic } from "../../api/types";
import { marks } from "./marks";

const text = "axes:\n  z:\n    travel: 450 kg # long\n";
const wrong: Diagnostic = {
  file: "portal.yaml",
  line: 3,
  column: 13,
  severity: "error",
  code: "unit-kind",
  value: "450 kg",
  message: "450 kg is a mass; a length is needed",
  hint: 'e.g. "450 mm"',
};

describe("marks", () => {
  it("stand at the value that is wrong", () => {
    const [m] = marks(text, [wrong], "portal.yaml");
    expect(text.slice(m!.from, m!.to)).toBe("450 kg");
    expect(m!.message).toBe('450 kg is a mass; a length is needed\ne.g. "450 mm"');
  });
  it("end where the program says", () => {
    const [m] = marks(text, [{ ...wrong, end_line: 3, end_column: 16 }], "portal.yaml");
    expect(text.slice(m!.from, m!.to)).toBe("450");
  });
  it("are those of this file only", () => {
    expect(marks(text, [{ ...wrong, file: "parts.yaml" }], "portal.yaml")).toEqual([]);
  });
  it("stay within the text", () => {
    const [m] = marks(text, [{ ...wrong, line: 99, column: 7 }], "portal.yaml");
    expect(m).toMatchObject({ from: text.length, to: text.length });
  });
});
