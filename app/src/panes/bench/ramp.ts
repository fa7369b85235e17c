// One hue from pale to deep: how much, shown by lightness, so that it reads the
// same for every kind of colour vision and in print.

/** Stop is a colour by perceived lightness (0 to 1), chroma and hue (degrees), the OKLCH space of CSS Color 4. */
interface Stop {
  lightness: number;
  chroma: number;
}

const hue = 238; // the page's quiet blue-grey

/** Ends of the ramp: least and most. On dark paper more is lighter. Choices. */
const ends: Record<"light" | "dark", [Stop, Stop]> = {
  light: [
    { lightness: 0.95, chroma: 0.015 },
    { lightness: 0.4, chroma: 0.085 },
  ],
  dark: [
    { lightness: 0.29, chroma: 0.025 },
    { lightness: 0.86, chroma: 0.075 },
  ],
};

/** lightness of the ramp at s from 0 to 1. */
export function lightness(s: number, scheme: "light" | "dark"): number {
  const [a, b] = ends[scheme];
  return a.lightness + (b.lightness - a.lightness) * hold(s);
}

/** ramp is the colour at s from 0 (least) to 1 (most), as #rrggbb. */
export function ramp(s: number, scheme: "light" | "dark"): string {
  const [a, b] = ends[scheme];
  const chroma = a.chroma + (b.chroma - a.chroma) * hold(s);
  return hex(lightness(s, scheme), chroma, hue);
}

/** onRamp is a colour for words upon the ramp: black or white, whichever differs more. */
export function onRamp(s: number, scheme: "light" | "dark"): string {
  return lightness(s, scheme) > evenlyFar ? "#000000" : "#ffffff";
}

/** A grey of this lightness differs as much from black as from white: its luminance, the cube, is √(1.05·0.05) - 0.05. */
const evenlyFar = 0.564;

const hold = (s: number): number => (Number.isFinite(s) ? Math.min(1, Math.max(0, s)) : 0);

/** hex converts OKLCH to sRGB; matrices of the sample code of CSS Color Module Level 4, from memory. */
export function hex(light: number, chroma: number, degrees: number): string {
  const a = chroma * Math.cos((degrees * Math.PI) / 180);
  const b = chroma * Math.sin((degrees * Math.PI) / 180);
  const l = (light + 0.3963377774 * a + 0.2158037573 * b) ** 3;
  const m = (light - 0.1055613458 * a - 0.0638541728 * b) ** 3;
  const s = (light - 0.0894841775 * a - 1.291485548 * b) ** 3;
  const linear = [
    4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s,
    -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s,
    -0.0041960863 * l - 0.7034186147 * m + 1.707614701 * s,
  ];
  return `#${linear.map((v) => byte(v).toString(16).padStart(2, "0")).join("")}`;
}

function byte(v: number): number {
  const curved = v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055;
  return Math.round(255 * Math.min(1, Math.max(0, curved)));
}
