import { effect } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { makeEditor } from "./editor";
import { MistakeList } from "./mistakes";
import { shadowSheet } from "./theme";
import "./text.css";

/**
 * The text editor lives in a shadow tree: there its style sheets are adopted by
 * the document and need no inline styles, which the page does not allow itself.
 */
export default function TextEditor() {
  const host = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const at = host.current;
    if (!at) return;
    const root = at.shadowRoot ?? at.attachShadow({ mode: "open" });
    root.adoptedStyleSheets = [shadowSheet()];
    const holder = document.createElement("div");
    holder.className = "holder";
    root.replaceChildren(holder);
    const editor = makeEditor(holder, root);
    const ends = editor.follow.map((f) => effect(f));
    return () => {
      for (const end of ends) end();
      editor.close();
      root.replaceChildren();
    };
  }, []);
  return (
    <div class="text-pane">
      <div class="text-editor" ref={host} />
      <MistakeList />
    </div>
  );
}
