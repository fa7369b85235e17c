import { later } from "../parts/lazy";
import { Tabs } from "../parts/tabs";
import { change, settings } from "../state/settings";
import { Outline } from "./outline/outline";

const TextEditor = later(() => import("./text"));

/** Description shows one design in two ways: as fields, and as the text itself. */
export function Description() {
  const at = settings.value.description;
  return (
    <div class="description">
      <Tabs
        name="Description"
        tabs={[
          { id: "outline", title: "Outline" },
          { id: "text", title: "Text" },
        ]}
        at={at}
        to={(description) => change({ description })}
      />
      <div class="description-body" id="Description-panel" role="tabpanel" aria-labelledby={`Description-tab-${at}`}>
        {at === "outline" ? <Outline /> : <TextEditor />}
      </div>
    </div>
  );
}
