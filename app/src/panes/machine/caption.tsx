import type { Scene, Solid } from "../../api/types";
import { hovered, selection } from "../../state/selection";
import { meant, solidsOf } from "./meant";
import { bending, ghost, plain, section } from "./stage";
import { readable } from "./words";

/** Caption says below the drawing what is shown in it, and what the pointer is on. */
export function Caption({ scene }: { scene: Scene }) {
  const b = plain.value ? null : bending.value;
  const chosen = hovered.value.length > 0 ? solidsOf(scene, hovered.value) : meant(scene, selection.value);
  const named = scene.solids.filter((s) => chosen.has(s.id) && !(s.of && chosen.has(s.of)));
  const solid = named[0];
  const more = named.length - 1;
  return (
    <div class="caption">
      {(solid || !b) && (
        <p class="caption-part">
          {solid ? words(solid, more) : "Point at a part, or choose one from the list of parts."}
        </p>
      )}
      {b && <p class="caption-scale caption-bent">Not the true shape: {b.note}; broken lines: at rest</p>}
      {ghost.value && !plain.value && <p class="caption-scale">broken blue lines: the variant drawn over</p>}
      {section.value && !plain.value && <p class="caption-scale">cut open</p>}
    </div>
  );
}

function words(s: Solid, more: number) {
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
