// What may wait: the picture and the benches follow the numbers once those are
// on show and nothing newer is on its way, so that they never hold the numbers up.

import { computed, effect, signal } from "@preact/signals";
import type { Judged } from "../api/types";
import { blocked, judged, stale } from "./judgement";

/** How long the numbers rest before the rest of the page is drawn again, ms. A choice: somebody who steps a value up is not held up by it. */
const rest = 200;

/** The longest that they wait for the first picture of the page, ms. A choice. */
const late = 1000;

/** followed is the judgement that the picture and the benches show. */
export const followed = signal<Judged | null>(null);

/** behind: picture and benches show an older text than the one that is open. */
export const behind = computed(() => stale.value || followed.value !== judged.value);

/** keepFollowing lets them follow; a change that arrives meanwhile begins the wait anew. */
export function keepFollowing(): () => void {
  return effect(() => {
    const j = judged.value;
    const newer = stale.value && !blocked.value;
    const last = followed.peek();
    if (j === last) return undefined;
    if (j === null) {
      followed.value = null;
      return undefined;
    }
    if (newer) return undefined;
    return (last ? painted : onScreen)(() => {
      followed.value = j;
    });
  });
}

/** painted runs something a rest after the next picture of the page; the function that it returns drops it. */
function painted(does: () => void): () => void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const frame = requestAnimationFrame(() => {
    timer = setTimeout(does, rest);
  });
  return () => {
    cancelAnimationFrame(frame);
    clearTimeout(timer);
  };
}

/** onScreen runs something once the first picture of the page is on the screen, for what draws in 3D holds up all other drawing while it begins. */
function onScreen(does: () => void): () => void {
  const begin = () => {
    end();
    does();
  };
  const watch = new PerformanceObserver((list) => {
    if (list.getEntriesByName("first-contentful-paint").length > 0) begin();
  });
  const timer = setTimeout(begin, late); // browsers that do not tell
  const end = () => {
    watch.disconnect();
    clearTimeout(timer);
  };
  watch.observe({ type: "paint", buffered: true });
  return end;
}
