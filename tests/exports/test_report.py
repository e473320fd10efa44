"""`report.json`: what a viewer needs of a piece, against the solids and against its own schema."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import fields, replace
from importlib.resources import files
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from by_hand import board, job

from build123.exports.job import Job, name_files
from build123.exports.report import PATH, verify, write
from build123.exports.report_places import short_name
from build123.model.feature import Hole, Mark, Pocket, Profile, Trench, Trim
from build123.pipeline import compile_text
from build123.problem import Finding, Severity

TRAY = """\
build123: 1
piece: Seed tray
units: mm
sizes: {width: 400, depth: 200, height: 300}
stock:
  ply: {sheet: birch plywood, thickness: 18, density: 680}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
  shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from 100}
joints:
  - dado: {of: shelf, in: side, depth: 6%s}
"""


def made(text: str) -> Job:
    compiled = compile_text(text, name="/home/someone/specs/tray.yaml")
    assert compiled.design is not None and compiled.fit is not None and compiled.store is not None
    return Job(compiled.design, compiled.fit, compiled.store, compiled.findings, name_files(compiled.design), Path("nowhere"), {},
               "0" * 64, compiled.origin.names)  # fmt: skip


@pytest.fixture(scope="module")
def tray() -> Job:
    return made(TRAY % "")


@pytest.fixture(scope="module")
def tight() -> Job:
    """The dado is cut 0.1 mm narrower than the shelf."""
    return made(TRAY % ", width: 17.9")


def report(given: Job) -> dict[str, Any]:
    data: dict[str, Any] = json.loads(write(given)[PATH])
    return data


SCHEMA = json.loads((files("build123.exports") / "report.schema.json").read_text(encoding="utf-8"))


def test_the_schema_is_one_and_the_reports_keep_to_it(tray: Job, tight: Job) -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    for given in (tray, tight, job(board("shelf"))):
        jsonschema.validate(report(given), SCHEMA)


def test_the_schema_knows_every_field_of_every_kind_of_feature() -> None:
    """A number that is added to a feature must be told, or the schema's `additionalProperties` hides that it is not."""
    for kind in (Trim, Trench, Pocket, Hole, Profile, Mark):
        told = set(SCHEMA["$defs"][kind.__name__.lower()]["properties"]) - {"kind"}
        meant = {field.name for field in fields(kind)}
        assert told == ({"normal", "offset_mm"} if kind is Trim else meant), kind


def test_parts_stand_where_the_solids_were_measured(tray: Job) -> None:
    """Worked by hand: 364 between the sides + 2 x 6 into the dados = 376 mm; 376 x 200 x 18 = 1353600 mm3, at 680 kg/m3
    0.920448 kg."""
    data = report(tray)
    shelf = next(part for part in data["parts"] if part["name"] == "shelf")
    assert (shelf["length_mm"], shelf["width_mm"], shelf["thickness_mm"]) == (376.0, 200.0, 18.0)
    shape = next(one for one in data["shapes"] if one["key"] == shelf["shape"])
    assert shape["volume_mm3"] == pytest.approx(1_353_600, rel=1e-9)
    assert shelf["mass_kg"] == pytest.approx(0.920448, rel=1e-6)
    low, high = shape["box"]["low"], shape["box"]["high"]
    corners = [[sum(row[k] * (x, y, z, 1.0)[k] for k in range(4)) for row in shelf["placement"][:3]]
               for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2])]  # fmt: skip
    assert [(min(c), max(c)) for c in zip(*corners, strict=True)] == [(12.0, 388.0), (0.0, 200.0), (100.0, 118.0)]
    assert data["masses"]["total_kg"] == pytest.approx(
        sum(part["mass_kg"] for part in data["parts"]), abs=3e-6
    )  # each is rounded to a milligram


def test_a_mass_is_null_where_no_density_is_known() -> None:
    given = job(board("shelf"), board("top", length=500, stock=replace(board("x").stock, name="?", density_kg_m3=None)))
    data = report(given)
    assert [part["mass_kg"] is None for part in data["parts"]] == [False, True]
    assert data["masses"]["total_kg"] is None and data["masses"]["parts_without_density"] == 1
    assert data["masses"]["known_kg"] == pytest.approx(0.3 * 0.2 * 0.018 * 680)


def test_fits_are_told_as_expected_and_as_measured(tray: Job, tight: Job) -> None:
    def clearances(given: Job) -> list[float]:
        return [fit["measured"]["mm"] for joint in report(given)["joints"] for fit in joint["fits"] if fit["kind"] == "clearance"]

    assert clearances(tray) == pytest.approx([0.127, 0.127]), "a slip fit: DADO-FIT, 0.005 in"
    assert clearances(tight) == pytest.approx([-0.1, -0.1]), "measured on the solids, whatever the joint meant"
    seats = [fit for joint in report(tray)["joints"] for fit in joint["fits"] if fit["kind"] == "seat"]
    assert seats and all(abs(seat["measured"]["mm"]) < 1e-6 and seat["measured"]["area_mm2"] > 1000 for seat in seats)


def test_each_joint_opens_away_from_its_receiver(tray: Job) -> None:
    opens = {joint["id"]: joint["opens"] for joint in report(tray)["joints"]}
    assert opens == {"dado: shelf in left side": [1.0, 0.0, 0.0], "dado: shelf in right side": [-1.0, 0.0, 0.0]}


def test_an_overlap_comes_as_a_closed_mesh_of_its_volume(tight: Job) -> None:
    """0.1 mm too narrow: two slivers, each 6 x 200 mm and together 0.1 mm thick, in each of the two sides."""
    data = report(tight)
    shown = {finding["overlap"] for finding in data["findings"] if finding["id"] == "parts-interfere"}
    laps = {lap["name"]: lap for lap in data["overlaps"]}
    assert shown and shown <= set(laps)
    for lap in laps.values():
        assert lap["volume_mm3"] == pytest.approx(6 * 200 * 0.1, rel=1e-3)
        assert volume(lap["mesh"]) == pytest.approx(lap["volume_mm3"], rel=1e-3)
        edges = Counter(edge for a, b, c in lap["mesh"]["faces"] for edge in ((a, b), (b, c), (c, a)))
        assert all(edges[b, a] == count for (a, b), count in edges.items())


def volume(mesh: dict[str, Any]) -> float:
    """By the divergence theorem."""
    total = 0.0
    for face in mesh["faces"]:
        (ax, ay, az), (bx, by, bz), (cx, cy, cz) = (mesh["vertices"][n] for n in face)
        total += ax * (by * cz - bz * cy) - ay * (bx * cz - bz * cx) + az * (bx * cy - by * cx)
    return total / 6


def test_a_size_can_be_followed_down_to_lines_of_the_spec(tray: Job) -> None:
    data = report(tray)
    reasons = data["reasons"]
    top = next(part for part in data["parts"] if part["name"] == "shelf")["why"]["length"]
    assert reasons[top]["value"] == 376.0
    lines, waiting = set(), [top]
    while waiting:
        reason = reasons[waiting.pop()]
        waiting += reason["of"]
        lines.add(reason["place"] and reason["place"]["line"])
    assert {4, 6, 11} & lines, "the width, the stock's thickness and the dado's depth"
    assert all(n < at for at, reason in enumerate(reasons) for n in reason["of"]), "inputs stand before what they make"
    keys = [json.dumps(reason, sort_keys=True) for reason in reasons]
    assert len(keys) == len(set(keys)), "a reason that many sizes share stands there once"


def test_reasons_that_share_inputs_many_times_over_stay_a_short_table() -> None:
    """A chain in which each size uses the one before twice: 2 to the 200 paths, 201 reasons."""
    from build123.exports.report_places import Places
    from build123.exports.report_reasons import Reasons
    from build123.model.why import Why

    why = Why("a0", 1.0)
    for n in range(1, 201):
        why = Why(f"a{n}", float(n), "{0} + {1}", (why, why))
    reasons = Reasons(Places(()))
    assert (reasons.index(why), len(reasons.table)) == (200, 201)


def test_two_runs_give_the_same_bytes_and_tell_nothing_of_the_disk(tray: Job) -> None:
    assert write(tray) == write(made(TRAY % ""))
    assert b"/home" not in write(tray)[PATH] and b'"tray.yaml"' in write(tray)[PATH]
    assert short_name("/a/b/inc/x.yaml", "/a/b/spec.yaml") == "inc/x.yaml"
    assert short_name("/elsewhere/x.yaml", "/a/b/spec.yaml") == "x.yaml"


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda d: d["parts"].pop(), "parts are not"),
        (lambda d: d["parts"][0].update(length_mm=1.0), "another size or place"),
        (lambda d: d["parts"][0]["placement"][0].__setitem__(3, 99.0), "another size or place"),
        (lambda d: d["parts"][0]["why"].update(length=10_000), "reason that is not there"),
        (lambda d: d["joints"][0].update(member="nobody"), "names a part that is not there"),
        (lambda d: d["findings"].pop(), "findings"),
        (lambda d: d["overlaps"].clear(), "overlap that is not there"),
        (lambda d: d.update(units="ells"), "head"),
    ],
)
def test_reading_back_sees_what_is_spoiled(tight: Job, spoil: Any, said: str) -> None:
    data = report(tight)
    assert verify(tight, {PATH: json.dumps(data).encode()}) == []
    spoil(data)
    found = verify(tight, {PATH: json.dumps(data).encode()})
    assert any(one.id == "export-differs" and said in one.message for one in found), [one.message for one in found]


def test_reading_back_sees_what_is_no_json(tight: Job) -> None:
    for content in (write(tight)[PATH][:-20], write(tight)[PATH].replace(b"17.9", b"NaN")):
        assert [one.id for one in verify(tight, {PATH: content})] == ["export-differs"]


def test_a_file_that_differs_is_told_in_the_report_but_is_no_failure_of_the_dry_fit() -> None:
    wrong = Finding("export-differs", Severity.error, "drawings/x.svg: has no outline")
    data = report(job(board("shelf"), findings=(wrong,)))
    assert (data["dry_fit"], data["findings"][0]["id"]) == ("passed", "export-differs")


def test_an_exporter_s_spoiled_file_is_left_out_and_its_others_stand() -> None:
    from build123.exports.export import _sound
    from build123.exports.job import differs

    files = {"a.svg": b"1", "b.svg": b"2"}
    assert _sound(files, [differs("a.svg", "is wrong")]) == {"b.svg": b"2"}
    assert _sound(files, [differs("all of them", "are wrong")]) == {}
    assert _sound(files, []) == files
