// Line drawings of our own, always beside a word.

const drawn = {
  back: "M3 8h8.5a3 3 0 0 1 0 6H8M6 5 3 8l3 3",
  forth: "M13 8H4.5a3 3 0 0 0 0 6H8m2-9 3 3-3 3",
  keep: "M8 2v8m-3-3 3 3 3-3M3 13h10",
  turn: "m6 4 4 4-4 4",
  plus: "M8 3v10M3 8h10",
  away: "m4 4 8 8m0-8-8 8",
  play: "M5 3v10l8-5z",
  halt: "M4 4h8v8H4z",
  sheet: "M4 2h6l3 3v9H4zM6 8h5M6 11h5",
  keys: "M2 5h12v7H2zM4 7.5h1m2 0h1m2 0h2M5 10h6",
  sun: "M8 5a3 3 0 1 0 0 6 3 3 0 0 0 0-6M8 1v2m0 10v2M1 8h2m10 0h2",
  print: "M4 6V2h8v4M4 12H2V6h12v6h-2M4 10h8v4H4z",
} as const;

export type IconName = keyof typeof drawn;

export function Icon({ name }: { name: IconName }) {
  return (
    <svg class="icon" viewBox="0 0 16 16" aria-hidden="true">
      <path d={drawn[name]} />
    </svg>
  );
}
