// The machine pane: the drawing with its tools, a list of its parts, and what is
// said about it in words.

import { judged, trouble as unjudged } from "../../state/judgement";
import { Caption } from "./caption";
import { PartList } from "./part-list";
import { Picture } from "./picture";
import { scene, toggles, trouble } from "./stage";
import { Tools } from "./tools";
import "../../style/machine.css";

export default function Machine() {
  const s = scene.value;
  if (!s) return <p class="notice">{why()}</p>;
  return (
    <div class="drawing">
      <Tools />
      <div class="drawing-body">
        {toggles.value.list && <PartList scene={s} />}
        <Picture />
      </div>
      <Caption scene={s} />
    </div>
  );
}

function why(): string {
  if (trouble.value) return `There is no drawing: ${trouble.value}.`;
  if (unjudged.value) return `There is no drawing: ${unjudged.value}.`;
  return judged.value ? "Fetching the drawing…" : "The machine is drawn as soon as it could be judged.";
}
