"""GLB: the assembled piece for viewers, after glTF 2.0 (ISO/IEC 12113): metres, +Y up, one node a part, equal parts share a mesh.

Axes are turned in the numbers themselves and not by a scaled root node, so that every node and every accessor can be read
on its own. Triangles are shaded flat: wood has arrises.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from build123.exports.bodies import MODEL, bodies, box_differs, colour, kind_key, told
from build123.exports.job import Job, differs
from build123.model.frame import Box, Frame
from build123.model.measured import Mesh
from build123.model.part import Part
from build123.problem import Finding

NAME = "glb"
PIECE = f"{MODEL}.glb"
ROUNDING_MM = 1e-2
"""Single precision in metres, through two matrices: a thousandth of this at some metres; more is another place."""
METRES = 0.001
ROUGHNESS = 0.8
UP = np.array([[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]])
"""Rows: glTF's x, y, z out of the piece's x (right), y (back), z (up)."""
FLOAT, UNSIGNED, VERTICES, INDICES = 5126, 5125, 34962, 34963
"""glTF 2.0: component types of accessors and targets of buffer views."""


def write(job: Job) -> dict[str, bytes]:
    """The file by path."""
    blob = bytearray()
    gltf: dict[str, Any] = {
        "asset": {"version": "2.0", "generator": "build123"},
        "scene": 0,
        "scenes": [{"name": job.design.piece, "nodes": [0]}],
        "nodes": [{"name": job.design.piece, "children": []}],
        "meshes": [],
        "materials": [],
        "accessors": [],
        "bufferViews": [],
    }
    meshes: dict[str, int] = {}
    materials: dict[tuple[str, tuple[float, float, float]], int] = {}
    branches: dict[tuple[str, ...], int] = {(): 0}
    for body in bodies(job):
        key = kind_key(body)
        if key not in meshes:
            look = (body.stock.name if isinstance(body, Part) else "hardware", colour(body))
            if look not in materials:
                materials[look] = len(gltf["materials"])
                gltf["materials"].append(_material(*look))
            meshes[key] = len(gltf["meshes"])
            gltf["meshes"].append(_mesh(gltf, blob, body.name, job.meshes[body.shape_key], materials[look]))
        parent = _branch(gltf, branches, body.path)
        gltf["nodes"][parent]["children"].append(len(gltf["nodes"]))
        gltf["nodes"].append({"name": body.name, "mesh": meshes[key], "matrix": _matrix(body.placement)})
    gltf["buffers"] = [{"byteLength": len(blob)}]
    return {PIECE: _file(gltf, bytes(blob))}


def verify(job: Job, files: Mapping[str, bytes]) -> list[Finding]:
    """Read back: nodes by name, shared meshes, and where every body lies, in metres with Y up."""
    data = files.get(PIECE)
    if data is None:
        return [differs(PIECE, "the file is missing")]
    gltf = _read(data)
    if gltf is None:
        return [differs(PIECE, "its chunks do not have the lengths that they say")]
    found: list[Finding] = []
    nodes = {node["name"]: node for node in gltf["nodes"] if "mesh" in node}
    meant = bodies(job)
    if sorted(nodes) != sorted(body.name for body in meant) or sum("mesh" in node for node in gltf["nodes"]) != len(meant):
        return [differs(PIECE, f"it has {len(nodes)} parts by name and not {len(meant)}")]
    if len(gltf["meshes"]) != len({kind_key(body) for body in meant}):
        found.append(differs(PIECE, "equal parts do not share a mesh"))
    for body in meant:
        there = _node_box(gltf, nodes[body.name])
        should = _box(_corners(job.meshes[body.shape_key].vertices, body.placement))
        if box_differs(there, should, ROUNDING_MM):
            found.append(differs(PIECE, f"{body.name} lies in {told(there)} and not in {told(should)}", body.name))
    return found


def _material(name: str, srgb: tuple[float, float, float]) -> dict[str, Any]:
    linear = [round(c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4, 6) for c in srgb]  # IEC 61966-2-1
    return {
        "name": name,
        "pbrMetallicRoughness": {"baseColorFactor": [*linear, 1.0], "metallicFactor": 0.0, "roughnessFactor": ROUGHNESS},
    }


def _mesh(gltf: dict[str, Any], blob: bytearray, name: str, mesh: Mesh, material: int) -> dict[str, Any]:
    """Corners with the normal of their triangle; a corner is stored once for each direction it is seen from."""
    corners = mesh.vertices[mesh.faces]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(normal, axis=1, keepdims=True)
    kept = length[:, 0] > 0
    faces, normal = mesh.faces[kept], (normal[kept] / length[kept]) @ UP.T
    rows = np.column_stack([faces.ravel(), np.repeat(np.round(normal, 4), 3, axis=0)])
    distinct, indices = np.unique(rows, axis=0, return_inverse=True)
    positions = ((mesh.vertices[distinct[:, 0].astype(np.int64)] @ UP.T) * METRES).astype("<f4")
    normals = distinct[:, 1:]
    normals = (normals / np.linalg.norm(normals, axis=1, keepdims=True)).astype("<f4")
    attributes = {
        "POSITION": _accessor(gltf, blob, positions, "VEC3", FLOAT, VERTICES, bounds=True),
        "NORMAL": _accessor(gltf, blob, normals, "VEC3", FLOAT, VERTICES),
    }
    order = _accessor(gltf, blob, indices.reshape(-1).astype("<u4"), "SCALAR", UNSIGNED, INDICES)
    return {"name": name, "primitives": [{"attributes": attributes, "indices": order, "material": material, "mode": 4}]}


def _accessor(
    gltf: dict[str, Any], blob: bytearray, values: NDArray[Any], kind: str, component: int, target: int, bounds: bool = False
) -> int:
    data = values.tobytes()
    gltf["bufferViews"].append({"buffer": 0, "byteOffset": len(blob), "byteLength": len(data), "target": target})
    blob.extend(data)
    accessor: dict[str, Any] = {"bufferView": len(gltf["bufferViews"]) - 1, "componentType": component, "count": len(values), "type": kind}
    if bounds:
        accessor["min"] = [float(v) for v in values.min(axis=0)]
        accessor["max"] = [float(v) for v in values.max(axis=0)]
    gltf["accessors"].append(accessor)
    return len(gltf["accessors"]) - 1


def _branch(gltf: dict[str, Any], branches: dict[tuple[str, ...], int], path: tuple[str, ...]) -> int:
    """The node of an assembly, made with those around it when it is first met."""
    if path not in branches:
        parent = _branch(gltf, branches, path[:-1])
        branches[path] = len(gltf["nodes"])
        gltf["nodes"][parent]["children"].append(branches[path])
        gltf["nodes"].append({"name": path[-1], "children": []})
    return branches[path]


def _matrix(placement: Frame) -> list[float]:
    """Column by column, between frames that both have Y up."""
    turn = UP @ np.array([placement.x, placement.y, placement.z]).T @ UP.T
    origin = UP @ np.array(placement.origin) * METRES
    columns = [*turn.T.tolist(), origin.tolist()]
    return [round(v, 12) + 0.0 for n, column in enumerate(columns) for v in (*column, 1.0 if n == 3 else 0.0)]


def _file(gltf: dict[str, Any], blob: bytes) -> bytes:
    text = json.dumps(gltf, separators=(",", ":"), ensure_ascii=False).encode()
    text += b" " * (-len(text) % 4)
    blob += b"\0" * (-len(blob) % 4)
    chunks = struct.pack("<I4s", len(text), b"JSON") + text + struct.pack("<I4s", len(blob), b"BIN\0") + blob
    return struct.pack("<4sII", b"glTF", 2, 12 + len(chunks)) + chunks


def _read(data: bytes) -> dict[str, Any] | None:
    """The JSON of a file whose lengths agree."""
    if len(data) < 20 or data[:4] != b"glTF" or struct.unpack_from("<I", data, 8)[0] != len(data):
        return None
    length = struct.unpack_from("<I", data, 12)[0]
    if data[16:20] != b"JSON" or 20 + length > len(data):
        return None
    gltf: dict[str, Any] = json.loads(data[20 : 20 + length])
    return gltf if gltf["buffers"][0]["byteLength"] <= len(data) - 28 - length else None


def _node_box(gltf: dict[str, Any], node: dict[str, Any]) -> Box:
    """Where a node's mesh lies, back in millimetres of the piece: the box of its turned bounds."""
    accessor = gltf["accessors"][gltf["meshes"][node["mesh"]]["primitives"][0]["attributes"]["POSITION"]]
    low, high = accessor["min"], accessor["max"]
    matrix = np.array(node["matrix"]).reshape(4, 4).T
    points = np.array([[x, y, z, 1.0] for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2])])
    return _box((points @ matrix.T)[:, :3] @ UP / METRES)


def _corners(vertices: NDArray[np.float64], placement: Frame) -> NDArray[np.float64]:
    """The eight corners of a body's own box, in the piece."""
    low, high = vertices.min(axis=0), vertices.max(axis=0)
    return np.array([placement.point((x, y, z)) for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2])])


def _box(points: NDArray[np.float64]) -> Box:
    low, high = points.min(axis=0), points.max(axis=0)
    return Box((float(low[0]), float(low[1]), float(low[2])), (float(high[0]), float(high[1]), float(high[2])))
