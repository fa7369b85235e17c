import type { ComponentChildren } from "preact";
import { type ViewName, viewName } from "./camera";
import { camera, fitAll, perspective, view } from "./looker";
import { plain, type Section, section, type Toggles, toggles } from "./stage";

const views: [ViewName, string, string][] = [
  ["corner", "corner", "C"],
  ["front", "front", "X"],
  ["side", "side", "Y"],
  ["top", "above", "Z"],
];

/** Tools is the row above the drawing: from where it is seen, and what is drawn. */
export function Tools() {
  const c = camera.value;
  const at = c && viewName(c);
  const flip = (name: keyof Toggles) => () => {
    toggles.value = { ...toggles.value, [name]: !toggles.value[name] };
  };
  const t = toggles.value;
  return (
    <div class="tools" role="toolbar" aria-label="Drawing">
      <fieldset class="tool-set">
        <legend class="aloud">seen from</legend>
        {views.map(([name, word, key]) => (
          <Switch key={name} on={at === name} onClick={() => view(name)} hint={`${word} view (${key})`}>
            {word}
          </Switch>
        ))}
        <button type="button" class="tool" onClick={fitAll} title="show the whole machine (F)">
          whole
        </button>
        <Switch
          on={c?.perspective ?? true}
          onClick={() => perspective(!(c?.perspective ?? true))}
          hint="perspective: near is larger than far (P)"
        >
          depth
        </Switch>
      </fieldset>
      <fieldset class="tool-set">
        <legend class="aloud">drawn besides</legend>
        {!plain.value && (
          <>
            <Switch on={t.names} onClick={flip("names")} hint="named places of the task, and the tool point">
              places
            </Switch>
            <Switch on={t.sizes} onClick={flip("sizes")} hint="main sizes">
              sizes
            </Switch>
            <Switch on={t.space} onClick={flip("space")} hint="box that the tool point reaches">
              reach
            </Switch>
            <Switch on={section.value !== null} onClick={toggleSection} hint="cut the machine open">
              cut
            </Switch>
          </>
        )}
        <Switch on={t.list} onClick={flip("list")} hint="list of all parts (L)">
          parts
        </Switch>
      </fieldset>
      {section.value && !plain.value && <Cut at={section.value} />}
    </div>
  );
}

interface SwitchProps {
  on: boolean;
  onClick: () => void;
  hint: string;
  children: ComponentChildren;
}

function Switch({ on, onClick, hint, children }: SwitchProps) {
  return (
    <button type="button" class="tool" aria-pressed={on} onClick={onClick} title={hint}>
      {children}
    </button>
  );
}

function toggleSection(): void {
  section.value = section.value ? null : { axis: 1, at: 0.5, far: false };
}

const across = ["x", "y", "z"] as const;

function Cut({ at }: { at: Section }) {
  const change = (part: Partial<Section>) => {
    section.value = { ...at, ...part };
  };
  return (
    <fieldset class="tool-set tool-cut">
      <legend>cut across</legend>
      {across.map((letter, i) => (
        <Switch
          key={letter}
          on={at.axis === i}
          onClick={() => change({ axis: i as 0 | 1 | 2 })}
          hint={`plane across ${letter}`}
        >
          {letter}
        </Switch>
      ))}
      <input
        type="range"
        min="0"
        max="1"
        step="0.005"
        value={at.at}
        aria-label={`place of the cut along ${across[at.axis]}`}
        onInput={(e) => change({ at: e.currentTarget.valueAsNumber })}
      />
      <Switch on={at.far} onClick={() => change({ far: !at.far })} hint="keep the other side">
        other side
      </Switch>
    </fieldset>
  );
}
