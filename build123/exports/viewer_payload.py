"""What the viewer is given: the report as it is, each distinct mesh once, and the sheets of the parts. JSON values only.

`viewer` is the version of the format. `report` is the content of report.json, so that the page and the file cannot differ.
`bodies` are parts, then hardware, in the report's order, each with the index of its mesh. A mesh is in its body's bench frame:
`vertices` are x, y, z as 32-bit integers of a thousandth of a millimetre, `faces` three indexes a triangle, `lines` the
solid's edges as indexes with -1 after each; all as base64 of little-endian 32-bit integers. `drawings` are SVG texts by path.
"""

from __future__ import annotations

import base64
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from build123.exports.bodies import bodies
from build123.exports.drawings import svgs
from build123.exports.job import Job
from build123.exports.report import report_data
from build123.model.measured import Mesh

FORMAT: Final = 1
PER_MM: Final = 1000
"""Vertices are kept to 1/1000 mm: an edge measured in the page is off by less than 0.001 mm."""
BREAK: Final = -1


def payload(job: Job, *, sheets: bool = True) -> dict[str, Any]:
    """The whole content of the page; without `sheets` those of the parts are left out, for a page that cannot wait for them."""
    report = report_data(job)
    keys = {key: n for n, key in enumerate(dict.fromkeys(body.shape_key for body in bodies(job)))}
    wanted = {part["files"]["drawing"] for part in report["parts"]} if sheets else set()
    return {
        "viewer": FORMAT,
        "report": report,
        "bodies": [{"name": body.name, "mesh": keys[body.shape_key]} for body in bodies(job)],
        "meshes": [mesh_data(job.meshes[key]) for key in keys],
        "drawings": {path: data.decode() for path, data in sorted(svgs(job).items()) if path in wanted} if sheets else {},
    }


def mesh_data(mesh: Mesh) -> dict[str, str]:
    """One mesh. Corners that fall together at 1/1000 mm are one, and triangles without extent are gone; it stays closed."""
    rows = np.concatenate([mesh.vertices, *mesh.lines]) if mesh.lines else mesh.vertices
    corners, where = np.unique(np.round(rows * PER_MM).astype(np.int64), axis=0, return_inverse=True)
    where = where.reshape(-1)
    faces = where[mesh.faces]
    faces = faces[(faces[:, 0] != faces[:, 1]) & (faces[:, 1] != faces[:, 2]) & (faces[:, 2] != faces[:, 0])]
    lines: list[int] = []
    at = len(mesh.vertices)
    for line in mesh.lines:
        lines += [*where[at : at + len(line)].tolist(), BREAK]
        at += len(line)
    return {"vertices": packed(corners), "faces": packed(faces), "lines": packed(np.array(lines, dtype=np.int64))}


def packed(values: NDArray[np.int64]) -> str:
    """Integers as base64."""
    return base64.b64encode(values.astype("<i4").tobytes()).decode("ascii")


def unpacked(text: str) -> NDArray[np.int64]:
    """The integers again."""
    return np.frombuffer(base64.b64decode(text), dtype="<i4").astype(np.int64)
