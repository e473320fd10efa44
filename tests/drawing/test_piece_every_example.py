"""Every example of every check is drawn whole, legible, and reads back."""

from pathlib import Path

import pytest
from reading_sheets import clashes

from build123.checks.docs import explain, ids
from build123.exports import drawings_pdf, piece_drawings
from build123.exports.job import Job, name_files
from build123.kernel import Store
from build123.pipeline import compile_text

STORE = Store()
FEW = {"part-joined-to-nothing", "trenches-opposed"}


@pytest.mark.parametrize(
    ("id", "which"),
    [pytest.param(id, which, marks=() if id in FEW else pytest.mark.nightly) for id in ids() for which in ("bad", "good")],
)
def test_every_example_is_drawn(id, which):
    made = compile_text(getattr(explain(id), which).spec, STORE)
    if made.fit is None or made.design is None:
        pytest.skip("it has no solids")
    meshes = {body.shape_key: STORE.mesh(body) for body in (*made.design.parts, *made.design.hardware)}
    job = Job(made.design, made.fit, STORE, made.findings, name_files(made.design), Path(), meshes, "0" * 64, glue_up=made.glue_up)
    assert piece_drawings.verify(job, piece_drawings.write(job)) == []
    assert drawings_pdf.verify(job, drawings_pdf.write(job)) == []
    assert {name: found for name, sheet in job.piece_sheets.items() if (found := clashes(sheet))} == {}
