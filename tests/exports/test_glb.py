"""The GLB has a node for every body, shares meshes, is in metres with Y up, and a spoiled one is found."""

from __future__ import annotations

import io
import json
import struct
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh
from small_piece import NAMES, small_job

from build123.exports import glb
from build123.exports.job import Job

PIECE = "model/piece.glb"
BYTES_A_TRIANGLE = 3 * (12 + 12 + 4)
"""A size budget: three corners with position, normal and index, none of them shared."""


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Job:
    return small_job(tmp_path_factory.mktemp("scratch"))


@pytest.fixture(scope="module")
def data(job: Job) -> bytes:
    return glb.write(job)[PIECE]


def test_what_is_written_is_as_meant_and_the_same_again(job: Job, data: bytes, tmp_path: Path) -> None:
    assert glb.verify(job, {PIECE: data}) == []
    assert glb.write(small_job(tmp_path)) == {PIECE: data}


def test_every_body_is_a_node_and_equal_parts_share_a_mesh(data: bytes) -> None:
    document = said(data)
    bodies = [node for node in document["nodes"] if "mesh" in node]
    assert sorted(node["name"] for node in bodies) == sorted(NAMES)
    mesh = {node["name"]: node["mesh"] for node in bodies}
    assert mesh[NAMES[0]] == mesh[NAMES[1]] and len(document["meshes"]) == 3


def test_another_reader_sees_metres_and_y_up(data: bytes) -> None:
    scene = trimesh.load_scene(io.BytesIO(data), file_type="glb")
    assert scene.bounds == pytest.approx(np.array([[0, 0, -0.2], [0.3, 0.5, 0]]), abs=1e-6)  # x right, y up, z to the front
    whole = scene.to_geometry()
    whole.merge_vertices(merge_norm=True, merge_tex=True)
    solid = 2 * (500 * 200 * 18 - 18 * 6 * 200 - 3 * np.pi * 62.5) + 264 * 200 * 18 - 264 * 6 * 8 + np.pi * 16 * 40
    assert whole.volume * 1e9 == pytest.approx(solid, rel=1e-4)


def test_it_is_not_larger_than_its_triangles_need(job: Job, data: bytes) -> None:
    triangles = sum(len(mesh.faces) for mesh in job.meshes.values())
    assert len(data) <= triangles * BYTES_A_TRIANGLE + 4096


def said(data: bytes) -> dict[str, Any]:
    return json.loads(data[20 : 20 + struct.unpack_from("<I", data, 12)[0]])


def spoil(change: Callable[[dict[str, Any]], object]) -> Callable[[bytes], bytes]:
    def spoiled(data: bytes) -> bytes:
        length = struct.unpack_from("<I", data, 12)[0]
        document = said(data)
        change(document)
        text = json.dumps(document).encode()
        text += b" " * (-len(text) % 4)
        rest = data[20 + length :]
        return struct.pack("<4sII", b"glTF", 2, 20 + len(text) + len(rest)) + struct.pack("<I4s", len(text), b"JSON") + text + rest

    return spoiled


def millimetres(document: dict[str, Any]) -> None:
    for accessor in document["accessors"]:
        for end in ("min", "max"):
            if end in accessor:
                accessor[end] = [c * 1000 for c in accessor[end]]


def body(document: dict[str, Any], name: str) -> dict[str, Any]:
    return next(node for node in document["nodes"] if node["name"] == name)


@pytest.mark.parametrize(
    ("what", "change"),
    [
        ("a cut-off file", lambda data: data[:-8]),
        ("no GLB", lambda data: b"glTG" + data[4:]),
        ("millimetres", spoil(millimetres)),
        ("a lost node", spoil(lambda d: body(d, NAMES[0]).pop("mesh"))),
        ("a lost name", spoil(lambda d: body(d, NAMES[0]).update(name="node 1"))),
        ("a part moved by 1 mm", spoil(lambda d: body(d, NAMES[0])["matrix"].__setitem__(12, 0.019))),
        ("a mesh not shared", spoil(lambda d: d["meshes"].append(d["meshes"][0]))),
    ],
)
def test_a_spoiled_file_is_found(job: Job, data: bytes, what: str, change: Callable[[bytes], bytes]) -> None:
    found = glb.verify(job, {PIECE: change(data)})
    assert found and all(f.id == "export-differs" and PIECE in f.message for f in found), what


def test_a_missing_file_is_found(job: Job) -> None:
    assert ["missing" in f.message for f in glb.verify(job, {})] == [True]
