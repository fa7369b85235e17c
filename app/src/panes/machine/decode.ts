// Meshes and shapes travel as base64 of little-endian numbers.

function bytes(text: string): ArrayBuffer {
  const raw = atob(text);
  const out = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i++) out[i] = raw.charCodeAt(i);
  return out.buffer;
}

const littleEndian = new Uint8Array(new Uint32Array([1]).buffer)[0] === 1;

/** floats reads 32-bit floats. */
export function floats(text: string | undefined): Float32Array {
  if (!text) return new Float32Array(0);
  const buffer = bytes(text);
  if (littleEndian) return new Float32Array(buffer);
  const view = new DataView(buffer);
  return Float32Array.from({ length: buffer.byteLength / 4 }, (_, i) => view.getFloat32(4 * i, true));
}

/** counts reads 32-bit whole numbers. */
export function counts(text: string | undefined): Uint32Array {
  if (!text) return new Uint32Array(0);
  const buffer = bytes(text);
  if (littleEndian) return new Uint32Array(buffer);
  const view = new DataView(buffer);
  return Uint32Array.from({ length: buffer.byteLength / 4 }, (_, i) => view.getUint32(4 * i, true));
}
