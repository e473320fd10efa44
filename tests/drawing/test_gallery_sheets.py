"""The sheets of the gallery are legible and give each size once."""

from collections import Counter
from pathlib import Path

import pytest
from reading_sheets import clashes, covers

from build123.drawing.sheet import part_sheets
from build123.model.feature import Mark
from build123.pipeline import compile_file

GALLERY = sorted((Path(__file__).parents[2] / "specs").glob("*.yaml"))


@pytest.mark.parametrize("path", GALLERY, ids=lambda path: path.stem)
def test_gallery_sheets_are_legible_and_whole(path):
    for compiled in compile_file(path, dry=False):
        for name, sheet in part_sheets(compiled.design, failed=False).items():
            assert clashes(sheet) == [], name
            counts = Counter((c.feature, c.size) for c in covers(sheet))
            assert set(counts.values()) == {1}, name
            cut = {f.about.id for f in compiled.design.by_name[name].features if not isinstance(f.geometry, Mark)}
            assert cut <= {feature for feature, _ in counts}, name
