import { basis, type Camera } from "./camera";
import { camera } from "./looker";

const letters = ["x", "y", "z"] as const;

/** ends of the three arrows in the picture, the farthest from the eye first. */
export function roseArrows(c: Camera): { letter: string; x: number; y: number; near: number }[] {
  const { right, up, back } = basis(c);
  return letters
    .map((letter, i) => ({ letter, x: right[i]!, y: -up[i]!, near: back[i]! }))
    .sort((a, b) => a.near - b.near);
}

/** Rose shows how the axes of the world lie in the picture: X along, Y across, Z up. */
export function Rose() {
  const c = camera.value;
  if (!c) return null;
  return (
    <svg class="rose" viewBox="-40 -40 80 80" aria-hidden="true">
      <circle r="2.4" class="rose-middle" />
      {roseArrows(c).map(({ letter, x, y }) => {
        const l = Math.hypot(x, y);
        const [ux, uy] = l > 0.12 ? [x / l, y / l] : [0, 0];
        return (
          <g key={letter}>
            {l > 0.12 && (
              <>
                <path d={`M${x * 4} ${y * 4}L${x * 23} ${y * 23}`} class="rose-line" />
                <path
                  d={`M${x * 26} ${y * 26}l${-6 * ux - 2 * uy} ${-6 * uy + 2 * ux}l${4 * uy} ${-4 * ux}z`}
                  class="rose-tip"
                />
              </>
            )}
            <text x={l > 0.12 ? x * 24 + ux * 10 : 8} y={(l > 0.12 ? y * 24 + uy * 10 : -8) + 4}>
              {letter}
            </text>
          </g>
        );
      })}
    </svg>
  );
}
