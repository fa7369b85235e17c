// The text of the design: the same one that the outline shows.

import { autocompletion, closeBrackets, completionKeymap, startCompletion } from "@codemirror/autocomplete";
import { defaultKeymap, indentWithTab } from "@codemirror/commands";
import { yaml } from "@codemirror/lang-yaml";
import { bracketMatching, foldGutter, foldKeymap, indentUnit, syntaxHighlighting } from "@codemirror/language";
import { nextDiagnostic, setDiagnostics } from "@codemirror/lint";
import { highlightSelectionMatches, search, searchKeymap } from "@codemirror/search";
import { Annotation, Compartment, EditorState, StateEffect, StateField } from "@codemirror/state";
import {
  closeHoverTooltips,
  Decoration,
  drawSelection,
  EditorView,
  highlightActiveLine,
  highlightActiveLineGutter,
  keymap,
  lineNumbers,
} from "@codemirror/view";
import { places } from "../../state/design";
import { doc, file, redo, save, text, type, undo } from "../../state/doc";
import { diagnosed, diagnostics } from "../../state/judgement";
import { partsOfPath } from "../../state/lit";
import { changes } from "../../state/merge";
import { select, selection } from "../../state/selection";
import { hoverHelp, source } from "./help";
import { marks } from "./marks";
import { inkStyle, paperTheme } from "./theme";

/** fromPage marks changes that did not come from typing here. */
const fromPage = Annotation.define<boolean>();

const pointAt = StateEffect.define<{ from: number; to: number } | null>();

/** The lines of what is selected elsewhere are washed. */
const pointed = StateField.define({
  create: () => Decoration.none,
  update(lines, tr) {
    let now = lines.map(tr.changes);
    for (const e of tr.effects) {
      if (!e.is(pointAt)) continue;
      now = Decoration.none;
      if (!e.value) continue;
      const first = tr.state.doc.lineAt(e.value.from).number;
      const last = Math.min(tr.state.doc.lineAt(e.value.to).number, first + 60);
      const wash = Decoration.line({ class: "cm-pointed" });
      now = Decoration.set(
        Array.from({ length: last - first + 1 }, (_, i) => wash.range(tr.state.doc.line(first + i).from)),
      );
    }
    return now;
  },
  provide: (f) => EditorView.decorations.from(f),
});

const editable = new Compartment();

export interface Editor {
  /** effects that keep the editor in step with the page */
  follow: (() => void)[];
  close: () => void;
}

export function makeEditor(parent: HTMLElement, root: ShadowRoot): Editor {
  let lastFile = file.peek();
  const view = new EditorView({
    parent,
    root,
    state: EditorState.create({
      doc: text.peek(),
      extensions: [
        lineNumbers(),
        foldGutter({ openText: "⌄", closedText: "›" }),
        highlightActiveLine(),
        highlightActiveLineGutter(),
        drawSelection(),
        bracketMatching(),
        closeBrackets(),
        search({ top: true }),
        highlightSelectionMatches(),
        indentUnit.of("  "),
        EditorState.tabSize.of(2),
        EditorView.contentAttributes.of({ "aria-label": "Text of the design", spellcheck: "false", tabindex: "0" }),
        yaml(),
        syntaxHighlighting(inkStyle),
        paperTheme,
        pointed,
        hoverHelp,
        editable.of(EditorView.editable.of(true)),
        autocompletion({ override: [source], icons: false, activateOnTyping: true, maxRenderedOptions: 80 }),
        keymap.of([
          { key: "Mod-z", run: then(undo), preventDefault: true },
          { key: "Mod-y", mac: "Mod-Shift-z", run: then(redo), preventDefault: true },
          { key: "Mod-Shift-z", run: then(redo), preventDefault: true },
          { key: "Mod-s", run: then(save), preventDefault: true },
          { key: "Ctrl-Space", run: startCompletion },
          { key: "F8", run: nextDiagnostic },
          { key: "Escape", run: closeHelp },
          ...completionKeymap,
          ...searchKeymap,
          ...foldKeymap,
          ...defaultKeymap,
          indentWithTab,
        ]),
        EditorView.updateListener.of((u) => {
          const typed = u.docChanged && !u.transactions.some((t) => t.annotation(fromPage));
          if (typed) type(u.state.doc.toString());
          const moved = u.selectionSet && u.transactions.some((t) => t.isUserEvent("select"));
          if (moved && u.view.hasFocus) tell(u.state.selection.main.head);
        }),
      ],
    }),
  });

  const takeText = () => {
    const now = text.value;
    const other = file.value !== lastFile;
    lastFile = file.value;
    const old = view.state.doc.toString();
    if (now === old) return;
    const spec = other ? { from: 0, to: old.length, insert: now } : changes(old, now);
    view.dispatch({ changes: spec, annotations: fromPage.of(true), ...(other && { selection: { anchor: 0 } }) });
  };
  const takeMarks = () => {
    if (diagnosed.value !== doc.value?.version || view.state.doc.toString() !== doc.value?.text) return;
    view.dispatch(setDiagnostics(view.state, marks(view.state.doc.toString(), diagnostics.value, file.value)));
  };
  const takeSelection = () => {
    const at = selection.value;
    if (!at || at.from === "text") return view.dispatch({ effects: pointAt.of(null) });
    const place = at.path ? places.peek().near(at.path) : undefined;
    if (!place || place.whole.to > view.state.doc.length) return view.dispatch({ effects: pointAt.of(null) });
    view.dispatch({
      effects: [pointAt.of(place.whole), EditorView.scrollIntoView(place.whole.from, { y: "center" })],
    });
  };
  const grown = new ResizeObserver(() => {
    if (view.hasFocus) view.dispatch({ effects: EditorView.scrollIntoView(view.state.selection.main.head) });
  });
  grown.observe(parent);
  return {
    follow: [takeText, takeMarks, takeSelection],
    close: () => {
      grown.disconnect();
      view.destroy();
    },
  };
}

// A key that begins something and is then answered.
function then(act: () => Promise<unknown>): () => boolean {
  return () => {
    void act();
    return true;
  };
}

// Escape puts away what stands over the text, and nothing else; the editor
// itself lets the Tab after it leave.
function closeHelp(view: EditorView): boolean {
  view.dispatch({ effects: closeHoverTooltips });
  return false;
}

let told = "";

function tell(at: number): void {
  const path = places.peek().at(at);
  if (path === told || path === "") return;
  told = path;
  select({ kind: "path", id: path, path, parts: partsOfPath(path), from: "text" });
}
