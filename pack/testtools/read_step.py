"""Reads a STEP file with OpenCASCADE through gmsh and prints one JSON object:
the solids with path name, volume (mm3) and box (mm), and, with --overlaps, the
pairs of solids that share more than 50 mm3."""

import json
import sys

import gmsh

LEAST_MM3 = 50.0


def overlaps(tags, names, boxes):
    found = []
    for i, a in enumerate(tags):
        for b in tags[i + 1:]:
            p, q = boxes[a], boxes[b]
            if not all(min(p[k + 3], q[k + 3]) - max(p[k], q[k]) > 0.05 for k in range(3)):
                continue
            common, _ = gmsh.model.occ.intersect([(3, a)], [(3, b)], removeObject=False, removeTool=False)
            volume = sum(gmsh.model.occ.getMass(*c) for c in common if c[0] == 3)
            if common:
                gmsh.model.occ.remove(common, recursive=True)
            if volume > LEAST_MM3:
                found.append({"a": names[a], "b": names[b], "mm3": volume})
    return found


def main():
    gmsh.initialize()
    gmsh.option.setNumber("General.Terminal", 0)
    gmsh.option.setNumber("Geometry.OCCImportLabels", 1)
    gmsh.model.add("model")
    gmsh.model.occ.importShapes(sys.argv[1])
    gmsh.model.occ.synchronize()
    tags = [tag for _, tag in gmsh.model.getEntities(3)]
    names = {t: gmsh.model.getEntityName(3, t) for t in tags}
    boxes = {t: gmsh.model.occ.getBoundingBox(3, t) for t in tags}
    out = {"solids": [{"name": names[t], "mm3": gmsh.model.occ.getMass(3, t), "box": boxes[t]} for t in tags]}
    if "--overlaps" in sys.argv:
        out["overlaps"] = overlaps(tags, names, boxes)
    print(json.dumps(out))


main()
