"""Solids seen by brute force, for comparison: no tree, no intervals, only rays through meshes."""

from __future__ import annotations

import numpy as np
import shapely

from build123.kernel.hidden_lines import wireframe_of


def wires_of(store):
    known = {}

    def wires(body, least_mm):
        key = (body.shape_key, least_mm)
        if key not in known:
            known[key] = wireframe_of(store.shape(body), least_mm)
        return known[key]

    return wires


def triangles(design, store):
    """All triangles (n, 3, 3) of the meshes of a piece, in the piece, and the body of each."""
    found, owners = [], []
    for k, body in enumerate((*design.parts, *design.hardware)):
        mesh, frame = store.mesh(body), body.placement
        points = mesh.vertices @ np.array([frame.x, frame.y, frame.z]) + np.array(frame.origin)
        found.append(points[mesh.faces])
        owners.append(np.full(len(mesh.faces), k))
    return np.concatenate(found), np.concatenate(owners)


def hits(corners, start, way):
    """Distances at which a ray meets triangles (Moeller and Trumbore 1997)."""
    one, two = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    p = np.cross(way, two)
    det = np.einsum("nc,nc->n", one, p)
    safe = np.where(np.abs(det) > 1e-12, det, np.inf)
    t = start - corners[:, 0]
    u = np.einsum("nc,nc->n", t, p) / safe
    q = np.cross(t, one)
    v = q @ way / safe
    far = np.einsum("nc,nc->n", two, q) / safe
    return far[(u > 1e-9) & (v > 1e-9) & (u + v < 1 - 1e-9) & (far > 0)]


def shadow(corners, eye):
    """The area that triangles cover in a picture."""
    flat = corners @ eye.matrix[:2].T
    area = np.abs(
        (flat[:, 1, 0] - flat[:, 0, 0]) * (flat[:, 2, 1] - flat[:, 0, 1])
        - (flat[:, 2, 0] - flat[:, 0, 0]) * (flat[:, 1, 1] - flat[:, 0, 1])
    )
    return shapely.union_all(shapely.polygons(flat[area > 1e-9]), grid_size=1e-6)
