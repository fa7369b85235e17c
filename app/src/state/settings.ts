// What one user prefers on one computer: scheme and sizes, kept by the browser.

import { computed, effect, signal } from "@preact/signals";

export type Scheme = "auto" | "light" | "dark";

interface Settings {
  scheme: Scheme;
  /** widths of the outer columns and height of the bench, as a part of the window */
  left: number;
  right: number;
  bench: number;
  leftOpen: boolean;
  rightOpen: boolean;
  benchOpen: boolean;
  description: "outline" | "text";
}

const defaults: Settings = {
  scheme: "auto",
  left: 0.27,
  right: 0.3,
  bench: 0.4,
  leftOpen: true,
  rightOpen: true,
  benchOpen: true,
  description: "outline",
};

const key = "spanwright.settings.1";

function stored(): Settings {
  try {
    return { ...defaults, ...(JSON.parse(localStorage.getItem(key) ?? "{}") as Partial<Settings>) };
  } catch {
    return defaults;
  }
}

export const settings = signal<Settings>(stored());

export function change(part: Partial<Settings>): void {
  settings.value = { ...settings.value, ...part };
}

const systemDark = matchMedia("(prefers-color-scheme: dark)");
const systemScheme = signal<"light" | "dark">(systemDark.matches ? "dark" : "light");
systemDark.addEventListener("change", (e) => {
  systemScheme.value = e.matches ? "dark" : "light";
});

/** scheme is what is shown; canvases read their colours again when it changes. */
export const scheme = computed<"light" | "dark">(() =>
  settings.value.scheme === "auto" ? systemScheme.value : settings.value.scheme,
);

const stillness = matchMedia("(prefers-reduced-motion: reduce)");
export const reducedMotion = signal(stillness.matches);
stillness.addEventListener("change", (e) => {
  reducedMotion.value = e.matches;
});

const narrowWindow = matchMedia("screen and (max-width: 1099px)");
/** narrow: the three columns become tabs. */
export const narrow = signal(narrowWindow.matches);
narrowWindow.addEventListener("change", (e) => {
  narrow.value = e.matches;
});

/** keepSettings writes changes to the browser and the scheme to the document. */
export function keepSettings(): void {
  effect(() => {
    document.documentElement.dataset.scheme = scheme.value;
  });
  effect(() => {
    try {
      localStorage.setItem(key, JSON.stringify(settings.value));
    } catch {
      // A browser that keeps nothing still shows everything.
    }
  });
}
