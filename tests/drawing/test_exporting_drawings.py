"""The exporter reads its sheets back and finds what is wrong with them."""

from dataclasses import replace
from types import MappingProxyType
from unittest.mock import sentinel

import pytest
from drawn_parts import SAMPLES, design, shelf, side

from build123.drawing.sheet import SheetPlan, draw_part
from build123.exports import drawings
from build123.exports.job import Job, name_files
from build123.kernel.store import Store
from build123.problem import Finding, Severity

PATH = "drawings/left-side.svg"


def job(*parts, units="mm", failed=False, store=None, spec=""):
    piece = design(*parts, units=units)
    findings = (Finding("interference", Severity.error, "they collide"),) if failed else ()
    return Job(piece, sentinel.fit, store or Store(), findings, name_files(piece), sentinel.scratch, MappingProxyType({}), spec)


@pytest.mark.parametrize("units", ["mm", "in"])
def test_what_is_written_reads_back(units):
    work = job(*(make() for make in SAMPLES), units=units, failed=True)
    files = drawings.write(work)
    assert len(files) == 2 * len(SAMPLES)
    assert drawings.verify(work, files) == []


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (b'data-feature="rabbet: back"', b'data-feature="rabbet"', "does not show rabbet: back"),
        (b">764<", b">765<", "does not give the length 764"),
        (b"DRY FIT FAILED", b"dry fit passed", "does not say that the dry fit failed"),
        (b'data-scale="0.2"', b'data-scale="0.25"', "draws the length as"),
        (b'width="420mm"', b'width="420in"', "no standard sheet size"),
        (b"</svg>", b"", "not well-formed"),
        (b"<svg", b"<!DOCTYPE svg><svg", "more in it than a drawing"),
    ],
)
def test_damage_is_found(old, new, says):
    work = job(side(), failed=True)
    files = drawings.write(work)
    assert old in files[PATH]
    found = drawings.verify(work, {**files, PATH: files[PATH].replace(old, new)})
    assert any(says in f.message for f in found)
    assert {f.id for f in found} == {"export-differs"}


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (b"$INSUNITS\n 70\n4\n", b"$INSUNITS\n 70\n6\n", "not in millimetres"),
        (b"\n764.0\n", b"\n764.5\n", "no dimension that measures the length, 764.000 mm"),
        (b"\nrabbet: back\n", b"\nrabbet\n", "does not show rabbet: back"),
        (b"\nEOF\n", b"\n", "not a whole DXF"),
        (b"DRY FIT FAILED", b"dry fit passed", "does not say that the dry fit failed"),
    ],
)
def test_damage_to_the_dxf_is_found(old, new, says):
    work = job(side(), failed=True)
    files = drawings.write(work)
    path = PATH.replace("svg", "dxf")
    assert old in files[path]
    assert any(says in f.message for f in drawings.verify(work, {**files, path: files[path].replace(old, new)}))


def test_a_missing_sheet_is_found():
    assert "missing" in drawings.verify(job(side()), {})[0].message


def changed(piece, what):
    """The part with one thing changed that its sheet shows."""
    first, *rest = piece.features
    match what:
        case "name":
            return replace(piece, name="left end panel")
        case "member":
            return replace(piece, features=(replace(first, about=replace(first.about, members=("shelf 9",))), *rest))
        case "fit":
            return replace(piece, features=(replace(first, about=replace(first.about, fit="tight")), *rest))
        case "depth":
            return replace(piece, features=(replace(first, geometry=replace(first.geometry, depth_mm=7)), *rest))
        case "stock":
            return replace(piece, stock=replace(piece.stock, material="oak"))
        case "sides":
            return replace(piece, looks={**piece.looks, "+x": "left", "-x": "right"})


@pytest.mark.parametrize("what", ["name", "member", "fit", "depth", "stock", "sides"])
def test_what_is_remembered_is_never_old(what):
    store = Store()
    drawings.write(job(side(), store=store))
    again = changed(side(), what)
    assert drawings.write(job(again, store=store)) == drawings.write(job(again))


def test_what_was_written_is_not_written_out_again(monkeypatch):
    store = Store()
    before = drawings.write(job(side(), shelf(), store=store, spec="ab" * 32))
    monkeypatch.setattr(drawings, "render", sentinel.not_again)
    monkeypatch.setattr(drawings.dxf, "render", sentinel.not_again)
    assert drawings.write(job(side(), shelf(), store=store, spec="ab" * 32)) == before


def test_an_edit_of_another_part_draws_only_that_part(monkeypatch):
    store = Store()
    drawings.write(job(side(), shelf(), store=store, spec="ab" * 32))
    count = []
    monkeypatch.setattr(SheetPlan, "draw", lambda plan: count.append(plan.parts[0].name) or draw_part(plan.parts, plan.about, plan.others))
    files = drawings.write(job(changed(side(), "depth"), shelf(), store=store, spec="cd" * 32))
    assert count == ["left side"]
    assert all(b"cdcdcdcd" in data and b"abab" not in data for data in files.values())
