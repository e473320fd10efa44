"""STL files are closed and in millimetres, and a spoiled one is found."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import trimesh
from small_piece import small_job

from build123.exports import stl
from build123.exports.job import Job

PIECE, SIDE = "model/piece.stl", "parts/left-side.stl"


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Job:
    return small_job(tmp_path_factory.mktemp("scratch"))


@pytest.fixture(scope="module")
def files(job: Job) -> dict[str, bytes]:
    return stl.write(job)


def test_what_is_written_is_as_meant_and_the_same_again(job: Job, files: dict[str, bytes], tmp_path: Path) -> None:
    assert stl.verify(job, files) == []
    assert stl.write(small_job(tmp_path)) == files
    assert files[PIECE][:5] != b"solid" and b"millimetres" in files[PIECE][:80]


def test_a_part_lies_on_the_bench_closed_with_its_volume(files: dict[str, bytes]) -> None:
    mesh = trimesh.load(io.BytesIO(files[SIDE]), file_type="stl")
    assert mesh.is_watertight and mesh.is_winding_consistent
    assert mesh.bounds == pytest.approx(np.array([[0, 0, 0], [500, 200, 18]]), abs=1e-4)
    assert mesh.volume == pytest.approx(500 * 200 * 18 - 18 * 6 * 200 - 3 * np.pi * 6.25 * 10, rel=1e-4)
    assert trimesh.triangles.normals(mesh.triangles)[0] == pytest.approx(mesh.face_normals, abs=1e-5)


def test_the_piece_stands_as_assembled(files: dict[str, bytes]) -> None:
    mesh = trimesh.load(io.BytesIO(files[PIECE]), file_type="stl", process=False)
    assert mesh.bounds == pytest.approx(np.array([[0, 0, 0], [300, 200, 500]]), abs=1e-4)
    # two sides, a shelf and a rod, the rod by its chords
    solid = 2 * (500 * 200 * 18 - 18 * 6 * 200 - 3 * np.pi * 62.5) + 264 * 200 * 18 - 264 * 6 * 8 + np.pi * 16 * 40
    assert mesh.volume == pytest.approx(solid, rel=1e-4)


def corners(data: bytes) -> np.ndarray:
    return np.frombuffer(data, dtype=stl.RECORD, offset=84).copy()


def spoil(change: Callable[[np.ndarray], np.ndarray]) -> Callable[[bytes], bytes]:
    def spoiled(data: bytes) -> bytes:
        records = change(corners(data))
        return data[:80] + len(records).to_bytes(4, "little") + records.tobytes()

    return spoiled


def scaled(records: np.ndarray) -> np.ndarray:
    records["corners"] /= 25.4
    return records


def flipped(records: np.ndarray) -> np.ndarray:
    records["corners"][3] = records["corners"][3][::-1]
    return records


def dented(records: np.ndarray) -> np.ndarray:
    """One vertex of the dado's floor a millimetre lower: still closed, still the same box."""
    points = records["corners"].reshape(-1, 3)
    floor = points[np.isclose(points[:, 2], 12.0)][0]
    points[np.all(points == floor, axis=1), 2] -= 1.0
    records["corners"] = points.reshape(-1, 3, 3)
    return records


@pytest.mark.parametrize(
    ("what", "path", "change", "said"),
    [
        ("a byte less", PIECE, lambda data: data[:-1], "length"),
        ("text in place of it", SIDE, lambda data: b"solid " + data[6:], "length"),
        ("inches", SIDE, spoil(scaled), "lies in"),
        ("a triangle turned round", SIDE, spoil(flipped), "not closed"),
        ("a triangle lost", SIDE, spoil(lambda records: records[1:]), "not closed"),
        ("a dented floor", SIDE, spoil(dented), "mm3"),
    ],
)
def test_a_spoiled_file_is_found(
    job: Job, files: dict[str, bytes], what: str, path: str, change: Callable[[bytes], bytes], said: str
) -> None:
    spoiled = change(files[path])
    assert spoiled != files[path]
    found = stl.verify(job, {**files, path: spoiled})
    assert found and all(f.id == "export-differs" and path in f.message for f in found), what
    assert any(said in f.message for f in found), [f.message for f in found]


def test_a_missing_file_is_found(job: Job, files: dict[str, bytes]) -> None:
    assert ["missing" in f.message for f in stl.verify(job, {PIECE: files[PIECE]})] == [True, True]
