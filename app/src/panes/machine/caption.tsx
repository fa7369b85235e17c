import type { Scene, Solid } from "../../api/types";
import { overlay } from "../../state/pose";
import { hovered, selection } from "../../state/selection";
import { bending, ghost, plain, section } from "./stage";
import { readable } from "./words";

/** Caption says below the drawing what is shown in it, and what the pointer is on. */
export function Caption({ scene }: { scene: Scene }) {
  const b = plain.value ? null : bending.value;
  const pointed = hovered.value[0] ?? selection.value?.parts[0];
  const solid = pointed ? scene.solids.find((s) => s.id === pointed) : undefined;
  const more = !hovered.value[0] && (selection.value?.parts.length ?? 0) > 1 ? selection.value!.parts.length - 1 : 0;
  return (
    <div class="caption">
      {(solid || !b) && (
        <p class="caption-part">{solid ? named(solid, more) : "Point at a part, or press L for the list of parts."}</p>
      )}
      {b && <p class="caption-scale">{b.note}; broken lines: at rest</p>}
      {ghost.value && !plain.value && <p class="caption-scale">broken blue lines: variant {overlay.value}</p>}
      {section.value && !plain.value && <p class="caption-scale">cut open</p>}
    </div>
  );
}

function named(s: Solid, more: number) {
  return (
    <>
      <b>{readable(s.id)}</b>
      {` ${s.thing}`}
      {s.part && (
        <>
          {" "}
          <code>{s.part}</code>
        </>
      )}
      {more > 0 && ` and ${more} more`}
    </>
  );
}
