"""Cut files of the gallery, read by two libraries that are not ours: the lines of a part's files alone leave the part's solid."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
import shapely
from cut_pieces import GALLERY, Cut, gallery_piece
from reading_cuts import HOLE, Dxf, by_ezdxf, by_parser, left_mm3, polygon

from build123.drawing.lettering import text_width
from build123.exports import cut
from build123.exports.part21 import read as read_step
from build123.exports.step import write as write_step
from build123.kernel import Store
from build123.model.feature import Hole, Pocket, Trench
from build123.model.part import Part

SHARE = 2e-5
FLAT_MM3 = 5.0
"""Depths stand in layers to 0.001 mm and arcs are read in chords: so much of a part's volume may be off."""


@pytest.fixture(scope="module")
def pieces(store: Store) -> dict[str, Cut]:
    return {name: gallery_piece(name, store) for name in GALLERY}


@pytest.fixture(params=GALLERY)
def piece(request: pytest.FixtureRequest, pieces: dict[str, Cut]) -> Cut:
    return pieces[request.param]


def distinct(piece: Cut) -> list[Part]:
    return [parts[0] for parts in piece.job.design.kinds.values()]


def read_all(piece: Cut) -> dict[str, Dxf]:
    return {path: by_ezdxf(data) for path, data in piece.files.items()}


def test_what_the_lines_leave_is_the_solid_that_was_checked(piece: Cut) -> None:
    """No part of the gallery has wood that its files do not take, so none is left out."""
    for part in distinct(piece):
        faces = {surface: by_ezdxf(data) for surface, (_, data) in piece.faces(part).items()}
        assert not any(remark.missing for face, _ in piece.faces(part).values() for remark in face.remarks)
        left = left_mm3(faces, (part.length_mm, part.width_mm, part.thickness_mm))
        assert left == pytest.approx(piece.volume(part), rel=SHARE, abs=FLAT_MM3), part.name


def test_a_second_reader_finds_the_same_in_every_file(piece: Cut) -> None:
    found = by_parser(list(piece.files.values()))
    assert dict(zip(piece.files, found, strict=True)) == read_all(piece)
    for part in distinct(piece):
        paths = {surface: cut.path_of(piece.job, face) for surface, (face, _) in piece.faces(part).items()}
        own = dict(zip(piece.files, found, strict=True))
        left = left_mm3({s: own[path] for s, path in paths.items()}, (part.length_mm, part.width_mm, part.thickness_mm))
        assert left == pytest.approx(piece.volume(part), rel=SHARE, abs=FLAT_MM3), part.name


def test_every_step_of_a_hole_is_a_circle_or_a_slot_in_its_place_and_nothing_else_is(piece: Cut) -> None:
    for part in distinct(piece):
        meant, slots = [], []
        for feature in part.features:
            shape = feature.geometry
            if isinstance(shape, Hole):
                frame = shape.datum.frame
                n = tuple(round(c) for c in frame.z)
                ends = [frame.point((shape.point[0] + s * shape.slot[0], shape.point[1] + s * shape.slot[1], 0.0)) for s in (-0.5, 0.5)]
                # as seen from outside with the worked face on top; right hand side by hand for each of the six
                seen = [
                    (
                        {(0, 0, 1): x, (0, 0, -1): -x, (1, 0, 0): y, (-1, 0, 0): -y, (0, -1, 0): x, (0, 1, 0): -x}[n],
                        y if n[2] else z,
                    )
                    for x, y, z in ends
                ]
                deep = abs(sum(c * size for c, size in zip(n, (part.length_mm, part.width_mm, part.thickness_mm), strict=True)))
                for k, step in enumerate(shape.steps):
                    through = shape.through and k == len(shape.steps) - 1
                    if seen[0] != seen[1]:
                        slots.append((n, shapely.LineString(seen).buffer(step.diameter_mm / 2), deep if through else step.depth_mm))
                        continue
                    (u, v), _ = seen
                    tip = shape.tip_deg if k == len(shape.steps) - 1 and not through else 0.0
                    meant.append((*n, u, v, step.diameter_mm, deep if through else step.depth_mm, through, step.cone_deg, tip))
        drawn = []
        for face, data in piece.faces(part).values():
            n = tuple(round(c) for c in face.side.towards)
            deep = abs(sum(c * size for c, size in zip(n, (part.length_mm, part.width_mm, part.thickness_mm), strict=True)))
            for one in by_ezdxf(data).on("HOLE"):
                said = HOLE.fullmatch(one.layer)
                assert said
                x, y, r = one.points[0]
                assert 2 * r == pytest.approx(float(said[1]), abs=6e-4)
                depth = float(said[2]) if said[2] else deep
                drawn.append((*n, x, y, 2 * r, depth, not said[2], float(said[3] or 0.0), float(said[4] or 0.0)))
            pockets = [one for one in by_ezdxf(data).on("POCKET") if any(p[2] for p in one.points)]
            mine = [(ring, depth) for m, ring, depth in slots if m == n]
            assert len(pockets) == len(mine)
            for ring, depth in mine:
                (one,) = [p for p in pockets if polygon(p.points).symmetric_difference(ring).area < 2e-2 * ring.area]
                assert float(one.layer.rpartition("_")[2]) == pytest.approx(depth, abs=6e-4)
                # two half circles (bulge 1, DXF Reference) and two straight walls
                assert sorted(abs(p[2]) for p in one.points) == pytest.approx([0.0, 0.0, 1.0, 1.0])

        def order(row: tuple[float, ...]) -> tuple[float, ...]:
            return tuple(round(value, 2) + 0.0 for value in row)

        assert len(drawn) == len(meant)
        assert np.array(sorted(drawn, key=order), dtype=float) == pytest.approx(np.array(sorted(meant, key=order), dtype=float), abs=2e-3)


def test_each_trench_is_a_closed_line_of_its_own_where_none_overlap(piece: Cut) -> None:
    for part in distinct(piece):
        trenches = [f for f in part.features if isinstance(f.geometry, Trench)]
        lines = [one for _, data in piece.faces(part).values() for one in by_ezdxf(data).on("TRENCH")]
        depths = sorted(float(one.layer.partition("_")[2]) for one in lines)
        if part.name == "lid":
            # the rabbets for the two sides and the back run into one another: one line round three edges, beside two dados
            assert [f.geometry.depth_mm for f in trenches].count(9.0) == 3 and depths == [6.0, 6.0, 9.0]  # type: ignore[union-attr]
            continue
        assert depths == pytest.approx(sorted(f.geometry.depth_mm for f in trenches), abs=6e-4)  # type: ignore[union-attr]


def test_the_outline_is_in_the_last_flat_file_only_and_as_large_as_the_part(piece: Cut) -> None:
    for part in distinct(piece):
        outlined = [(face, by_ezdxf(data)) for face, data in piece.faces(part).values() if by_ezdxf(data).on("OUTLINE")]
        ((face, file),) = outlined
        assert face.outlined
        (line,) = file.on("OUTLINE_THROUGH_")
        box = polygon(line.points).bounds
        assert (box[2] - box[0], box[3] - box[1]) == pytest.approx((part.length_mm, part.width_mm), abs=1e-5)
        notched = any(isinstance(f.geometry, Pocket) for f in part.features)
        assert (len(line.points) == 4) != notched


def test_files_are_in_millimetres_and_hold_closed_lines_and_circles_only(piece: Cut) -> None:
    for path, file in read_all(piece).items():
        assert (file.units, file.measurement) == (4, 1), path  # DXF Reference: $INSUNITS 4 is mm, $MEASUREMENT 1 metric
        assert {one.kind for one in file.cut} <= {"LWPOLYLINE", "CIRCLE"}, path
        assert file.cut and file.said


def test_nothing_is_drawn_twice(piece: Cut) -> None:
    """Not even a stretch of a line along another of its layer."""
    for path, file in read_all(piece).items():
        layers: dict[str, list[shapely.LineString]] = {}
        for one in file.cut:
            if one.kind == "LWPOLYLINE":
                corners = [p[:2] for p in (*one.points, one.points[0])]
                bends = [p[2] for p in one.points]
                layers.setdefault(one.layer, []).extend(
                    shapely.LineString(ends) for ends, bend in zip(itertools.pairwise(corners), bends, strict=True) if not bend
                )
        for name, lines in layers.items():
            assert shapely.union_all(lines).length == pytest.approx(sum(line.length for line in lines)), (path, name)
        circles = [(one.layer, one.points) for one in file.cut if one.kind == "CIRCLE"]
        assert len(set(circles)) == len(circles), path


def test_text_lies_on_info_and_clear_of_all_lines(piece: Cut) -> None:
    for path, file in read_all(piece).items():
        texts = [one for one in file.entities if one.kind == "TEXT"]
        assert {one.layer for one in texts} == {"INFO"}
        boxes = [shapely.box(x, y - 0.3 * h, x + text_width(one.text, h), y + h) for one in texts for x, y, h in one.points]
        shapes = [polygon(one.points) for one in file.entities if one.kind == "LWPOLYLINE"]
        shapes += [shapely.Point(x, y).buffer(r) for one in file.entities if one.kind == "CIRCLE" for x, y, r in one.points]
        lines = shapely.union_all(shapes)
        assert not any(box.intersects(lines) for box in boxes), path
        for n, box in enumerate(boxes):
            assert not any(box.intersects(other) for other in boxes[n + 1 :]), path


def test_the_step_of_a_part_lies_as_the_file_of_its_worked_face(pieces: dict[str, Cut], tmp_path_factory: pytest.TempPathFactory) -> None:
    from dataclasses import replace

    piece = pieces["wall-rack"]
    files = write_step(replace(piece.job, scratch=tmp_path_factory.mktemp("step")))
    for part in distinct(piece):
        text = read_step(files[f"parts/{piece.job.file_names[part.name]}.step"])
        assert text.corners is not None
        (line,) = by_ezdxf(piece.faces(part)["+z"][1]).on("OUTLINE")
        box = polygon(line.points).bounds
        assert (*text.corners.low[:2], *text.corners.high[:2]) == pytest.approx(box, abs=1e-4)
        assert (text.corners.low[2], text.corners.high[2]) == pytest.approx((0.0, part.thickness_mm), abs=1e-4)  # Z0: the underside


def test_opposite_hands_have_files_that_mirror_one_another(pieces: dict[str, Cut]) -> None:
    """The left and right side of the cabinet, turned so that their fronts stay in front: x runs the other way."""
    piece = pieces["seed-cabinet"]
    left, right = (by_ezdxf(piece.files[f"cut/{name}.dxf"]) for name in ("left-side_right-face", "right-side_left-face"))
    length = piece.job.design.by_name["left side"].length_mm

    def areas(file: Dxf, mirrored: bool) -> dict[str, float]:
        found: dict[str, float] = {}
        for one in file.cut:
            shape = polygon(one.points) if one.kind == "LWPOLYLINE" else shapely.Point(one.points[0][:2]).buffer(one.points[0][2])
            centre = shape.centroid
            x = length - centre.x if mirrored else centre.x
            found[f"{one.layer} {x:.3f} {centre.y:.3f}"] = round(shape.area, 3)
        return found

    assert areas(left, True) == pytest.approx(areas(right, False))


def test_the_same_piece_gives_the_same_bytes(pieces: dict[str, Cut]) -> None:
    for piece in pieces.values():
        assert cut.write(piece.job) == piece.files


def test_what_was_written_reads_back_as_meant(piece: Cut) -> None:
    assert cut.verify(piece.job, piece.files) == []


def test_sizes_stock_and_datum_are_said(pieces: dict[str, Cut]) -> None:
    said = by_ezdxf(pieces["seed-cabinet"].files["cut/left-side_right-face.dxf"]).said
    whole = "\n".join(said)
    # 0.715 in × 25.4 = 18.161; 11 1/4 in = 285.75; 42 - 3 - 0.8 in = 38.2 in = 970.28
    assert "T x W x L: 18.161 x 285.75 x 970.28 mm (0.715 x 11 1/4 x 38.2 in)" in said
    assert "Seed cabinet: left side. Make 1." in said
    assert "The opposite hand has files of its own: right side." in said
    assert "Stock: ply (birch plywood), measured 18.161 mm thick. Grain: along L." in said
    assert "X0 Y0: where top end and front edge meet, lower left as drawn." in said
    # slip: 0.0508 to 0.254 mm, drawn at 0.127: 0.0762 mm to the nearer limit, rounded down to what a calliper reads
    assert "Drawn for ply of 18.161 mm: export again if yours differs by more than 0.07 mm (slip fit)." in said
    assert "bottom end: 2 x dowel hole" in whole and "FAILED" not in whole
    assert math.isclose(float("0.0762"), min(0.127 - 0.0508, 0.254 - 0.127), abs_tol=1e-9)
