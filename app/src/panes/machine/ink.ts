// The two ways in which anything is drawn: faces of paper, and lines of ink that
// keep their width whatever the distance.

import {
  BufferAttribute,
  BufferGeometry,
  Color,
  DoubleSide,
  Float32BufferAttribute,
  FrontSide,
  ShaderMaterial,
  Vector2,
  Vector4,
} from "three";

/** Uniforms that all materials share: one cut, one exaggeration, one picture size. */
export interface Shared {
  cut: { value: Vector4 }; // normal and distance: what lies beyond is not drawn
  amp: { value: number }; // movements are drawn this many times
  view: { value: Vector2 }; // px
  eye: { value: Vector4 }; // place of the eye (w 1) or direction towards it (w 0)
  perMetre: { value: Vector2 }; // px a metre at the target, and px a radian
}

export function shared(): Shared {
  return {
    cut: { value: new Vector4(0, 0, 0, 1) },
    amp: { value: 0 },
    view: { value: new Vector2(1, 1) },
    eye: { value: new Vector4(0, -1, 0, 0) },
    perMetre: { value: new Vector2(100, 1000) },
  };
}

const faceVertex = `
attribute vec3 moved;
attribute float tone;
uniform float amp;
#ifdef CUT
varying vec3 vWorld;
#endif
varying float vTone;
void main() {
  vec4 world = modelMatrix * vec4(position + amp * moved, 1.0);
#ifdef CUT
  vWorld = world.xyz;
#endif
  vTone = tone;
  gl_Position = projectionMatrix * viewMatrix * world;
}`;

// The back of a face is seen only where the cut opens a body: it is hatched as
// a cut face is on a drawing.
const faceFragment = `
uniform vec3 paper;
uniform vec3 shade;
uniform vec3 ink;
uniform vec4 cut;
uniform float opacity;
uniform float hatch;
varying float vTone;
#ifdef CUT
varying vec3 vWorld;
#endif
void main() {
  vec3 c = mix(paper, shade, vTone);
#ifdef CUT
  if (dot(vWorld, cut.xyz) > cut.w) discard;
  if (!gl_FrontFacing) {
    float s = mod(gl_FragCoord.x + gl_FragCoord.y, hatch) / hatch;
    c = s < 0.18 ? mix(paper, ink, 0.75) : paper;
  }
#endif
  gl_FragColor = vec4(c, opacity);
  #include <colorspace_fragment>
}`;

/** faces is the material of faces. */
export function faces(common: Shared): ShaderMaterial {
  return new ShaderMaterial({
    vertexShader: faceVertex,
    fragmentShader: faceFragment,
    uniforms: {
      ...pickUniforms(common, "cut", "amp"),
      paper: { value: new Color() },
      shade: { value: new Color() },
      ink: { value: new Color() },
      opacity: { value: 1 },
      hatch: { value: 7 },
    },
    polygonOffset: true,
    polygonOffsetFactor: 1,
    polygonOffsetUnits: 2,
  });
}

function pickUniforms(common: Shared, ...names: (keyof Shared)[]): Record<string, { value: unknown }> {
  return Object.fromEntries(names.map((n) => [n, common[n]]));
}

// Each line is a quad between its ends. An edge whose two faces look to the two
// sides of the line of sight is an outline and drawn heavier; one whose faces
// both look away is hidden; one close to its like fades before they run together,
// unless it is an outline. Edges at a gap (fine < 0) are never outlines.
const lineVertex = `
attribute vec2 corner;
attribute vec3 endA;
attribute vec3 endB;
attribute vec3 normalA;
attribute vec3 normalB;
attribute vec3 movedA;
attribute vec3 movedB;
attribute float fine;
uniform float amp;
uniform vec2 view;
uniform vec4 eye;
uniform vec2 perMetre;
uniform float outline;
uniform float thin;
uniform float lift;
uniform float all;
#ifdef CUT
varying vec3 vWorld;
#endif
varying vec2 vPlace;
varying vec2 vStrength;
void main() {
  vec3 a = (modelMatrix * vec4(endA + amp * movedA, 1.0)).xyz;
  vec3 b = (modelMatrix * vec4(endB + amp * movedB, 1.0)).xyz;
  vec3 sight = eye.w > 0.5 ? eye.xyz - 0.5 * (a + b) : eye.xyz;
  float s1 = dot(normalA, sight);
  float s2 = dot(normalB, sight);
  bool free = dot(normalA, normalA) < 0.5;
  bool edge = !free && (s1 > 0.0) != (s2 > 0.0);
  bool away = !free && s1 <= 0.0 && s2 <= 0.0;
  float shown = free ? 1.0 : smoothstep(2.0, 7.0, abs(fine) * perMetre.x);
  edge = edge && fine >= 0.0;
  float alpha = edge ? 1.0 : shown;
  bool skip = (all < 0.5 && away) || alpha < 0.03;
  vec4 ca = projectionMatrix * viewMatrix * vec4(a, 1.0);
  vec4 cb = projectionMatrix * viewMatrix * vec4(b, 1.0);
  // What lies before the near plane is cut off here: behind the eye there is no place in the picture.
  float na = ca.z + ca.w;
  float nb = cb.z + cb.w;
  if (skip || (na <= 0.0 && nb <= 0.0)) { gl_Position = vec4(2.0, 2.0, 2.0, 1.0); return; }
  if (na < 0.0) ca = mix(cb, ca, nb / (nb - na));
  if (nb < 0.0) cb = mix(ca, cb, na / (na - nb));
  vec2 pa = ca.xy / ca.w * view * 0.5;
  vec2 pb = cb.xy / cb.w * view * 0.5;
  vec2 d = pb - pa;
  float l = length(d);
  vec2 x = l > 1e-4 ? d / l : vec2(1.0, 0.0);
  float width = edge ? outline : thin;
  float end = corner.x;
  vec4 c = end < 0.5 ? ca : cb;
  // Half a pixel of fading on both sides; a line thinner than a pixel is a paler one.
  float wide = max(width, 1.0);
  float side = corner.y * (wide * 0.5 + 0.75);
  vec2 p = (end < 0.5 ? pa : pb) + x * (end - 0.5) * wide * 0.7 + vec2(-x.y, x.x) * side;
  vPlace = vec2(end * l, side);
  vStrength = vec2(wide * 0.5 + 0.5, alpha * min(width, 1.0));
#ifdef CUT
  vWorld = end < 0.5 ? a : b;
#endif
  // Towards the eye by as much as a few pixels measure there, so that faces do not eat their own edges.
  bool parallel = projectionMatrix[3][3] > 0.5;
  float z = parallel ? c.z + projectionMatrix[2][2] * lift / perMetre.x
                     : c.z + (c.z + projectionMatrix[2][2] * c.w) * lift / perMetre.y;
  gl_Position = vec4(p / (view * 0.5) * c.w, z, c.w);
}`;

const lineFragment = `
uniform vec3 ink;
uniform vec4 cut;
uniform float opacity;
uniform vec4 dash;
#ifdef CUT
varying vec3 vWorld;
#endif
varying vec2 vPlace;
varying vec2 vStrength;
void main() {
#ifdef CUT
  if (dot(vWorld, cut.xyz) > cut.w + 1e-5) discard;
#endif
  if (dash.x > 0.0) {
    float s = mod(vPlace.x, dash.x + dash.y + dash.z + dash.w);
    if (s > dash.x && (s < dash.x + dash.y || s > dash.x + dash.y + dash.z)) discard;
  }
  gl_FragColor = vec4(ink, opacity * vStrength.y * clamp(vStrength.x - abs(vPlace.y), 0.0, 1.0));
  #include <colorspace_fragment>
}`;

export interface Pen {
  /** px of outlines and of other edges */
  outline: number;
  thin: number;
  opacity?: number;
  /** drawn, left out, drawn, left out; px */
  dash?: [number, number, number, number];
  /** drawn also where the edge looks away, as on a cut or a ghost */
  all?: boolean;
  /** how far towards the eye, px */
  lift?: number;
}

/** lines is the material of lines. */
export function lines(common: Shared, pen: Pen): ShaderMaterial {
  return new ShaderMaterial({
    vertexShader: lineVertex,
    fragmentShader: lineFragment,
    uniforms: {
      ...pickUniforms(common, "cut", "amp", "view", "eye", "perMetre"),
      ink: { value: new Color() },
      opacity: { value: pen.opacity ?? 1 },
      outline: { value: pen.outline },
      thin: { value: pen.thin },
      dash: { value: new Vector4(...(pen.dash ?? [0, 0, 0, 0])) },
      all: { value: pen.all ? 1 : 0 },
      lift: { value: pen.lift ?? 0.8 },
    },
    transparent: true,
    depthWrite: false,
    side: DoubleSide,
  });
}

/** cutting lets a material leave out what lies beyond the cut, and show the insides of what it opens. */
export function cutting(m: ShaderMaterial, on: boolean): void {
  if (on === "CUT" in m.defines) return;
  if (on) m.defines.CUT = "";
  else delete m.defines.CUT;
  if (!m.transparent) m.side = on ? DoubleSide : FrontSide;
  m.needsUpdate = true;
}

/** FaceArrays are triangles as drawn. */
export interface FaceArrays {
  positions: Float32Array;
  tones: Float32Array;
  moved: Float32Array | null;
}

export function faceGeometry(a: FaceArrays): BufferGeometry {
  const g = new BufferGeometry();
  g.setAttribute("position", new Float32BufferAttribute(a.positions, 3));
  g.setAttribute("tone", new Float32BufferAttribute(a.tones, 1));
  if (a.moved) g.setAttribute("moved", new Float32BufferAttribute(a.moved, 3));
  return g;
}

/** LineArrays are edges as drawn: six numbers each, and how near their like is. */
export interface LineArrays {
  ends: Float32Array;
  normals?: Float32Array;
  fine?: Float32Array;
  moved?: Float32Array | null;
}

/**
 * lineGeometry lays out a quad an edge. All four corners carry both ends, which
 * is more memory than one instance an edge would take, but a graphics processor
 * made of software draws it many times faster.
 */
export function lineGeometry(a: LineArrays): BufferGeometry {
  const g = new BufferGeometry();
  const n = a.ends.length / 6;
  const index = new Uint32Array(6 * n);
  const corner = new Int8Array(8 * n);
  const order = byNeed(a.fine ?? new Float32Array(n));
  for (let i = 0; i < n; i++) {
    const k = 4 * order[i]!;
    index.set([k, k + 1, k + 2, k, k + 2, k + 3], 6 * i);
    corner.set([0, -1, 1, -1, 1, 1, 0, 1], 8 * i);
  }
  g.setIndex(new BufferAttribute(index, 1));
  g.setAttribute("corner", new BufferAttribute(corner, 2));
  setHalves(g, "end", a.ends);
  if (a.normals) setHalves(g, "normal", a.normals);
  if (a.moved) setHalves(g, "moved", a.moved);
  if (a.fine) {
    const fine = new Float32Array(4 * n);
    for (let i = 0; i < n; i++) fine.fill(a.fine[i]!, 4 * i, 4 * i + 4);
    g.setAttribute("fine", new BufferAttribute(fine, 1));
  }
  return g;
}

/** byNeed puts edges that are always needed first, and edges at gaps after them, the widest gap first. */
export function byNeed(fine: Float32Array): Uint32Array {
  const rank = (f: number) => (f < 0 ? f : -Infinity);
  return Uint32Array.from(fine.keys()).sort((i, j) => {
    const [a, b] = [rank(fine[i]!), rank(fine[j]!)];
    return a === b ? i - j : a - b;
  });
}

/** needed is how many of the edges, in that order, can be seen where a metre measures so many px. */
export function needed(fine: Float32Array, perMetre: number): number {
  let n = 0;
  for (const f of fine) if (f >= 0 || -f * perMetre > gapFrom) n++;
  return n;
}

/** Edges at a gap narrower than this are not drawn, px. It is where they begin to fade in. */
const gapFrom = 2;

/** setHalves writes six numbers an edge into the attributes nameA and nameB of its four corners. */
export function setHalves(g: BufferGeometry, name: "end" | "normal" | "moved", from: Float32Array): void {
  for (const [half, at] of [
    ["A", 0],
    ["B", 3],
  ] as const) {
    const old = g.getAttribute(name + half) as BufferAttribute | undefined;
    const to =
      old && old.array.length === 2 * from.length ? (old.array as Float32Array) : new Float32Array(2 * from.length);
    for (let i = 0; i < from.length; i += 6) {
      for (let c = 0; c < 4; c++) {
        const k = 2 * i + 3 * c;
        to[k] = from[i + at]!;
        to[k + 1] = from[i + at + 1]!;
        to[k + 2] = from[i + at + 2]!;
      }
    }
    if (old && old.array === to) old.needsUpdate = true;
    else g.setAttribute(name + half, new BufferAttribute(to, 3));
  }
}
