"""STL: binary, millimetres, every body welded and closed; the piece assembled, each distinct part on the bench."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from build123.exports.bodies import MODEL, bodies, box_differs, first_of_each_kind, told
from build123.exports.job import Job, differs
from build123.model.frame import Box, Frame
from build123.model.measured import Mesh, ShapeFacts
from build123.problem import Finding

NAME = "stl"
PIECE = f"{MODEL}.stl"
HEADER = b"build123 binary STL, millimetres".ljust(80)
"""Fixed, and not beginning with "solid", which readers take for a text file."""
RECORD = np.dtype([("normal", "<f4", (3,)), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
ROUNDING_MM = 1e-3
"""Single precision at some metres: 0.00025 mm; more is another shape."""
CHORD_MM = 0.1 * 2 / 3
"""A mesh may lie off its solid by two thirds of the chord height that it is made to (the mean height of a segment)."""

Corners = NDArray[np.float32]


def write(job: Job) -> dict[str, bytes]:
    """The files by path."""
    placed = [_corners(job.meshes[body.shape_key], body.placement) for body in bodies(job)]
    files = {PIECE: _file(np.concatenate(placed))}
    for stem, part in first_of_each_kind(job).items():
        files[f"parts/{stem}.stl"] = _file(_corners(job.meshes[part.shape_key], Frame()))
    return files


def verify(job: Job, files: Mapping[str, bytes]) -> list[Finding]:
    """Each file read back: its length, each body closed, volumes, boxes."""
    found: list[Finding] = []
    alone = {f"parts/{stem}.stl": part for stem, part in first_of_each_kind(job).items()}
    for path in sorted({PIECE, *alone} - set(files)):
        found.append(differs(path, "the file is missing"))
    for path, data in files.items():
        held = [(alone[path], Frame())] if path in alone else [(body, body.placement) for body in bodies(job)]
        corners = _read(data)
        counts = [len(job.meshes[body.shape_key].faces) for body, _ in held]
        if corners is None or len(corners) > sum(counts):
            found.append(differs(path, "its length does not agree with the number of its triangles"))
            continue
        start = 0
        for (body, placement), most in zip(held, counts, strict=True):
            mesh = job.meshes[body.shape_key]
            count = len(_corners(mesh, placement)) if len(corners) < sum(counts) else most
            found += _body(path, body.name, corners[start : start + count], mesh, placement, job.fit.shapes.get(body.shape_key))
            start += count
    return found


def _corners(mesh: Mesh, placement: Frame) -> Corners:
    """Triangles in single precision; those whose corners fall together there are left out, which keeps the mesh closed."""
    single = moved(mesh.vertices, placement).astype(np.float32)
    corners = single[mesh.faces]
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    same = np.all(a == b, axis=1) | np.all(b == c, axis=1) | np.all(c == a, axis=1)
    return np.asarray(corners[~same])


def moved(points: NDArray[np.float64], placement: Frame) -> NDArray[np.float64]:
    """Points of a frame in its parent."""
    axes = np.array([placement.x, placement.y, placement.z])
    return np.asarray(points @ axes + np.array(placement.origin))


def _file(corners: Corners) -> bytes:
    records = np.zeros(len(corners), dtype=RECORD)
    normal = np.cross((corners[:, 1] - corners[:, 0]).astype(np.float64), (corners[:, 2] - corners[:, 0]).astype(np.float64))
    length = np.linalg.norm(normal, axis=1, keepdims=True)
    records["normal"] = np.divide(normal, length, out=np.zeros_like(normal), where=length > 0)
    records["corners"] = corners
    return HEADER + len(corners).to_bytes(4, "little") + records.tobytes()


def _read(data: bytes) -> NDArray[np.float64] | None:
    """Corners (n, 3, 3) of a file; None where its length is not what it says."""
    if len(data) < 84 or data[:5] == b"solid":
        return None
    count = int.from_bytes(data[80:84], "little")
    if len(data) != 84 + count * 50:
        return None
    raw = np.frombuffer(data, dtype=np.uint8, offset=84).reshape(count, 50)[:, 12:48]
    return np.ascontiguousarray(raw).view("<f4").reshape(count, 3, 3).astype(np.float64)


def _body(path: str, name: str, corners: NDArray[np.float64], mesh: Mesh, placement: Frame, solid: ShapeFacts | None) -> list[Finding]:
    """Against the mesh, narrowly, and where it was measured against the solid, within what chords leave out."""
    if not len(corners) or not _closed(corners):
        return [differs(path, f"the mesh of {name} is not closed", name)]
    found = []
    flat = corners.reshape(-1, 3)
    box = Box.around([tuple(flat.min(axis=0)), tuple(flat.max(axis=0))])
    points = moved(mesh.vertices, placement)
    meant = Box.around([tuple(points.min(axis=0)), tuple(points.max(axis=0))])
    if box_differs(box, meant, ROUNDING_MM):
        found.append(differs(path, f"{name} lies in {told(box)} and not in {told(meant)}", name))
    volume, area = _volume(corners), _area(corners)
    limits = [(_volume(mesh.vertices[mesh.faces]), ROUNDING_MM)] + ([(solid.volume_mm3, CHORD_MM)] if solid else [])
    for meant_mm3, by_mm in limits:
        if abs(volume - meant_mm3) > by_mm * area:
            found.append(differs(path, f"{name} has {volume:.1f} mm3 and not {meant_mm3:.1f}", name, found_mm3=volume, meant_mm3=meant_mm3))
    return found


def _closed(corners: NDArray[np.float64]) -> bool:
    """Whether each edge, by the coordinates of its ends, is used as often one way as the other, and by no more than two."""
    faces = _numbered(corners.reshape(-1, 3)).reshape(-1, 3)
    n = len(faces) * 3
    a, b = faces.ravel(), np.roll(faces, -1, axis=1).ravel()
    forth, back = np.sort(a * n + b), np.sort(b * n + a)
    return bool(np.array_equal(forth, back) and np.all(forth[1:] != forth[:-1]))


def _numbered(points: NDArray[np.float64]) -> NDArray[np.int64]:
    """A number for each point, equal for equal points: by one sort of a mix of the coordinates, if no two points mix alike."""
    bits = (points + 0.0).view(np.uint64)
    mix = (
        bits[:, 0] * np.uint64(0x9E3779B97F4A7C15) ^ bits[:, 1] * np.uint64(0xC2B2AE3D27D4EB4F) ^ bits[:, 2] * np.uint64(0x165667B19E3779F9)
    )
    _, first, which = np.unique(mix, return_index=True, return_inverse=True)
    if not np.array_equal(points[first][which], points):
        _, which = np.unique(points, axis=0, return_inverse=True)
    return np.asarray(which).astype(np.int64)


def _volume(corners: NDArray[np.float64]) -> float:
    near = corners - corners[0, 0]
    return float(np.einsum("ij,ij->", near[:, 0], np.cross(near[:, 1], near[:, 2])) / 6)


def _area(corners: NDArray[np.float64]) -> float:
    sides = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return float(np.linalg.norm(sides, axis=1).sum() / 2)
