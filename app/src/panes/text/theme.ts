// Ink on paper: keys in ink, values quieter, comments quietest. No borrowed palette.

import { HighlightStyle } from "@codemirror/language";
import { EditorView } from "@codemirror/view";
import { tags } from "@lezer/highlight";

export const inkStyle = HighlightStyle.define([
  { tag: [tags.propertyName, tags.definition(tags.propertyName)], color: "var(--ink)", fontWeight: "600" },
  { tag: tags.comment, color: "var(--ink-3)", fontStyle: "italic" },
  { tag: [tags.string, tags.content, tags.attributeValue], color: "var(--select)" },
  { tag: [tags.punctuation, tags.separator, tags.squareBracket, tags.brace], color: "var(--ink-3)" },
]);

export const paperTheme = EditorView.theme({
  "&": { height: "100%", fontSize: "var(--text)", color: "var(--ink)", backgroundColor: "var(--sheet)" },
  "&.cm-focused": { outline: "none" },
  ".cm-scroller": { fontFamily: "var(--mono)", fontSize: "0.93em", lineHeight: "1.45" },
  ".cm-content": { caretColor: "var(--ink)", padding: "6px 0" },
  ".cm-cursor": { borderLeftColor: "var(--ink)" },
  ".cm-gutters": {
    backgroundColor: "var(--paper)",
    color: "var(--ink-3)",
    border: "none",
    borderRight: "1px solid var(--line)",
  },
  ".cm-activeLine": { backgroundColor: "transparent", boxShadow: "inset 2px 0 0 var(--line-2)" },
  ".cm-activeLineGutter": { backgroundColor: "var(--well)", color: "var(--ink)" },
  "&.cm-focused > .cm-scroller > .cm-selectionLayer .cm-selectionBackground, .cm-selectionBackground": {
    backgroundColor: "var(--select-wash)",
  },
  ".cm-pointed": { backgroundColor: "var(--select-wash)" },
  ".cm-searchMatch": { backgroundColor: "var(--accent-wash)", outline: "1px solid var(--line-2)" },
  ".cm-panels": { backgroundColor: "var(--paper)", color: "var(--ink)", borderColor: "var(--line-2)" },
  ".cm-panels input, .cm-panels button": {
    font: "inherit",
    color: "inherit",
    background: "var(--sheet)",
    border: "1px solid var(--line-2)",
    backgroundImage: "none",
  },
  ".cm-tooltip": {
    backgroundColor: "var(--sheet)",
    color: "var(--ink)",
    border: "1px solid var(--line-2)",
    boxShadow: "0 4px 14px var(--shadow)",
    fontFamily: "var(--sans)",
    fontSize: "var(--small)",
    maxWidth: "46em",
  },
  ".cm-tooltip-autocomplete > ul": { fontFamily: "var(--sans)", maxHeight: "22em" },
  ".cm-tooltip-autocomplete > ul > li": { padding: "3px 8px", display: "flex", gap: "10px" },
  ".cm-tooltip-autocomplete > ul > li[aria-selected]": { backgroundColor: "var(--select-wash)", color: "var(--ink)" },
  ".cm-completionLabel": { fontFamily: "var(--mono)" },
  ".cm-completionMatchedText": { textDecoration: "none", fontWeight: "700" },
  ".cm-completionDetail": { color: "var(--ink-2)", fontStyle: "normal", marginLeft: "auto" },
  ".cm-completionInfo": { padding: "6px 9px", maxWidth: "34em", whiteSpace: "pre-line" },
  ".cm-hover": { padding: "6px 9px" },
  ".cm-hover b": { fontFamily: "var(--mono)", fontWeight: "500" },
  ".cm-hover p": { margin: "3px 0 0" },
  ".cm-diagnostic": { borderLeft: "3px solid var(--accent)", padding: "4px 8px", whiteSpace: "pre-line" },
  ".cm-diagnostic-info, .cm-diagnostic-warning": { borderLeftColor: "var(--line-2)" },
  ".cm-lintRange-error": {
    backgroundImage: "none",
    textDecoration: "underline wavy var(--accent)",
    textUnderlineOffset: "3px",
  },
  ".cm-lintRange-warning, .cm-lintRange-info": {
    backgroundImage: "none",
    textDecoration: "underline dotted var(--ink-2)",
    textUnderlineOffset: "3px",
  },
  ".cm-foldGutter span": { color: "var(--ink-3)" },
});

let sheet: CSSStyleSheet | null = null;

/** shadowSheet holds what the shadow tree needs besides the editor's own styles. */
export function shadowSheet(): CSSStyleSheet {
  if (!sheet) {
    sheet = new CSSStyleSheet();
    sheet.replaceSync(".holder{position:absolute;inset:0} .cm-editor{height:100%}");
  }
  return sheet;
}
