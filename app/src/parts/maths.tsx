import { useEffect, useRef } from "preact/hooks";

const space = "http://www.w3.org/1998/Math/MathML";

/** Maths shows MathML of the server; anything else that the text may hold is left out. */
export function Maths({ markup, inline }: { markup: string; inline?: boolean }) {
  const frame = useRef<HTMLSpanElement>(null);
  useEffect(() => {
    const read = new DOMParser().parseFromString(markup, "text/html");
    const roots = [...read.getElementsByTagNameNS(space, "math")];
    for (const root of roots) keepMaths(root);
    frame.current?.replaceChildren(...roots.map((r) => document.importNode(r, true)));
  }, [markup]);
  return <span class={inline ? "maths-inline" : "maths"} ref={frame} />;
}

function keepMaths(node: Element): void {
  for (const attribute of [...node.attributes]) {
    if (/^(on|href|style|src)/i.test(attribute.localName)) node.removeAttributeNode(attribute);
  }
  for (const child of [...node.children]) {
    if (child.namespaceURI === space) keepMaths(child);
    else child.remove();
  }
}
