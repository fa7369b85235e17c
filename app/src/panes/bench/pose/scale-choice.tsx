import { signal } from "@preact/signals";
import { exaggeration, scaleChoices } from "../../machine/scale";

/** drawnScale is how many times too large the deformed shape is drawn; as it is until the user asks. */
export const drawnScale = signal<"auto" | "off" | number>("off");

/** Scale chooses it; the automatic one is a round number that shows well. */
export function Scale({ largest, size }: { largest: number; size: number }) {
  const auto = exaggeration(largest, size);
  const at = drawnScale.value;
  const choices = scaleChoices(auto);
  if (typeof at === "number" && !choices.includes(at)) choices.push(at);
  return (
    <label class="choice">
      <span>shape drawn</span>
      <select
        value={String(at)}
        onChange={(e) => {
          const v = e.currentTarget.value;
          drawnScale.value = v === "auto" || v === "off" ? v : Number(v);
        }}
      >
        <option value="off">as it is</option>
        <option value="auto">{`bent, as fits (${auto.toLocaleString("en")} times too large)`}</option>
        {choices.map((c) => (
          <option key={c} value={String(c)}>
            {c === 1 ? "bent, at true scale" : `bent, ${c.toLocaleString("en")} times too large`}
          </option>
        ))}
      </select>
    </label>
  );
}
