// Our camera as the graphics library wants it.

import { Matrix4, OrthographicCamera, PerspectiveCamera, Vector3 } from "three";
import type { Vec3 } from "../../api/types";
import { basis, type Camera, distance, eye, fieldOfView, type Size } from "./camera";
import { add, type Box, corners, dot, sub, times } from "./vec";

export interface Aimed {
  camera: PerspectiveCamera | OrthographicCamera;
  /** where the eye is, and the direction towards it */
  from: Vec3;
  back: Vec3;
}

/** Cameras are the two kinds; their matrices are set here and not by the library. */
export class Cameras {
  private perspective = new PerspectiveCamera((fieldOfView * 180) / Math.PI, 1, 0.1, 100);
  private parallel = new OrthographicCamera();

  constructor() {
    for (const c of [this.perspective, this.parallel]) {
      c.matrixAutoUpdate = false;
      c.matrixWorldAutoUpdate = false;
    }
  }

  /** aim looks as c does, with the depth that a box and some slack around it need, m. */
  aim(c: Camera, size: Size, box: Box, slack: number): Aimed {
    const { right, up, back } = basis(c);
    const from = c.perspective ? eye(c) : add(c.target, times(Math.max(50, c.span * 4), back));
    const aspect = size.width / size.height;
    const depths = corners(box).map((p) => dot(sub(from, p), back));
    const camera = c.perspective ? this.perspective : this.parallel;
    camera.near = Math.max(c.perspective ? distance(c) * 0.02 : 0.01, Math.min(...depths) - slack);
    camera.far = Math.max(Math.max(...depths) + slack + c.span, camera.near * 1.01);
    if (camera instanceof PerspectiveCamera) camera.aspect = aspect;
    else {
      camera.top = c.span / 2;
      camera.bottom = -c.span / 2;
      camera.right = (c.span / 2) * aspect;
      camera.left = -camera.right;
    }
    camera.updateProjectionMatrix();
    const m = new Matrix4().makeBasis(vector(right), vector(up), vector(back)).setPosition(...from);
    camera.matrix.copy(m);
    camera.matrixWorld.copy(m);
    camera.matrixWorldInverse.copy(m).invert();
    return { camera, from, back };
  }
}

const vector = (v: Vec3): Vector3 => new Vector3(...v);
