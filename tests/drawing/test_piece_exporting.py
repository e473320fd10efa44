"""The exporters of the whole piece read their files back and find what is wrong with them."""

from dataclasses import replace
from pathlib import Path

import pytest

from build123.exports import drawings_pdf, piece_drawings
from build123.exports.job import Job, name_files
from build123.exports.manifest import manifest, safe_path
from build123.kernel import Store
from build123.pipeline import compile_file
from build123.problem import Finding, Severity

SPEC = Path(__file__).parents[2] / "specs" / "wall-rack.yaml"


@pytest.fixture(scope="module")
def job():
    store = Store()
    made = compile_file(SPEC, store=store)[0]
    meshes = {body.shape_key: store.mesh(body) for body in (*made.design.parts, *made.design.hardware)}
    return Job(
        made.design, made.fit, store, made.findings, name_files(made.design), Path(), meshes, made.origin.sha256, glue_up=made.glue_up
    )


def test_what_is_written_reads_back(job):
    files = piece_drawings.write(job)
    assert list(files) == ["drawings/assembly.svg", "drawings/assembly_section-a.svg", "drawings/assembly_apart.svg"]
    assert piece_drawings.verify(job, files) == []
    assert drawings_pdf.verify(job, drawings_pdf.write(job)) == []


def test_no_file_of_a_part_has_such_a_name(job):
    files = {**piece_drawings.write(job), **drawings_pdf.write(job)}
    assert all(map(safe_path, files))
    kinds = manifest(job, files)
    assert b"assembly" not in kinds.split(b'"files": {')[0], "they are listed among the files, and belong to no part"


@pytest.mark.parametrize(
    ("path", "old", "new", "says"),
    [
        ("assembly", b">600<", b">601<", "does not give the overall width 600"),
        ("assembly", b'data-view="front" data-scale="0.2"', b'data-view="front" data-scale="0.25"', "draws the width as"),
        ("assembly", b'width="420mm"', b'width="420in"', "no standard sheet size"),
        ("assembly", b"</svg>", b"", "not well-formed"),
        ("assembly", b"<svg", b"<!DOCTYPE svg><svg", "more in it than a drawing"),
        ("assembly_apart", ">11.8 × 130 × 583.4<".encode(), b"><", "does not give 11.8"),
        ("assembly_apart", b">5</text>", b">x</text>", "has no mark 5 for dowel"),
    ],
)
def test_damage_is_found(job, path, old, new, says):
    files = dict(piece_drawings.write(job))
    name = f"drawings/{path}.svg"
    assert old in files[name]
    files[name] = files[name].replace(old, new)
    found = piece_drawings.verify(job, files)
    assert any(says in one.message for one in found), [one.message for one in found]
    assert {one.id for one in found} == {"export-differs"}


def test_a_missing_sheet_and_a_missing_warning_are_found(job):
    files = piece_drawings.write(job)
    assert "missing" in piece_drawings.verify(job, {})[0].message
    failed = replace(job, findings=(Finding("interference", Severity.error, "they collide"),))
    assert len([one for one in piece_drawings.verify(failed, files) if "dry fit failed" in one.message]) == len(files)
    assert piece_drawings.verify(failed, piece_drawings.write(failed)) == []


def test_a_pdf_that_lacks_something_is_found(job):
    whole = drawings_pdf.write(job)[drawings_pdf.PATH]
    assert "missing" in drawings_pdf.verify(job, {})[0].message
    assert drawings_pdf.verify(job, {drawings_pdf.PATH: whole[: len(whole) // 2]})
    from build123.drawing.pdf import render

    short = render("x", drawings_pdf.chapters(job)[:1])
    assert "pages" in drawings_pdf.verify(job, {drawings_pdf.PATH: short})[0].message
    renamed = [replace(one, title="other") for one in drawings_pdf.chapters(job)]
    assert "bookmarks" in drawings_pdf.verify(job, {drawings_pdf.PATH: render("x", renamed)})[0].message


def test_the_short_hash_follows_the_sizes_that_were_set(job):
    assert job.made_from == job.spec_sha256[:8]
    other = replace(job, set_sizes={"width": "700"})
    assert len(other.made_from) == 8 and other.made_from != job.made_from
