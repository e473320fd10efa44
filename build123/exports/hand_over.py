"""The hand-over: a sheet for who cuts the piece, and, where it is asked for, one archive with all that they need."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping
from typing import Final
from xml.etree import ElementTree

from build123.cutting.fit_test import fit_test
from build123.cutting.sheet import Handing, hand_over_sheets, pieces
from build123.cutting.summary import Handed
from build123.cutting.thickness import hangs_on
from build123.drawing.svg import render
from build123.drawing.titleblock import FAILED
from build123.exports.cut import FIT_TEST, faces_of, path_of, units_of
from build123.exports.job import Job, differs
from build123.problem import Finding
from build123.problem.visible import visible
from build123.trade.cutters import cutters

NAME = "hand-over"
ARCHIVE: Final = "hand-over.zip"
FOLDERS: Final = ("cut/", "drawings/")
EARLIEST: Final = (1980, 1, 1, 0, 0, 0)
"""What an archive can say at the least (PKWARE, "APPNOTE", 4.4.6): it tells no time."""
FILE_MODE: Final = 0o100644
UNIX: Final = 3


def write(job: Job) -> dict[str, bytes]:
    """`cut/hand-over.svg`, and `cut/hand-over-2.svg` and so on where one page is not enough."""
    return {_path(n): render(sheet) for n, sheet in enumerate(hand_over_sheets(_handing(job)), 1)}


def _path(number: int) -> str:
    return "cut/hand-over.svg" if number == 1 else f"cut/hand-over-{number}.svg"


def _handing(job: Job) -> Handing:
    design = job.design
    handed = []
    for parts in design.kinds.values():
        faces = faces_of(job, parts[0])
        handed.append(Handed(parts, faces, tuple(path_of(job, face).rpartition("/")[2] for face in faces)))
    trials = FIT_TEST if fit_test(design, cutters(units_of(design))) else ""
    return Handing(visible(design.piece), units_of(design), handed, design.stocks, hangs_on(design, design.parts), trials, job.failed)


def verify(job: Job, files: Mapping[str, bytes]) -> list[Finding]:
    """Reads the pages back: plain XML that names every cut file once and says so where the dry fit failed."""
    found: list[Finding] = []
    texts: list[str] = []
    for path, data in sorted(files.items()):
        try:
            page = [element.text or "" for element in ElementTree.fromstring(data).iter("{http://www.w3.org/2000/svg}text")]
        except ElementTree.ParseError as error:
            return [differs(path, f"is not well-formed XML: {error}")]
        if job.failed and not any(FAILED in text for text in page):
            found.append(differs(path, "does not say that the dry fit failed"))
        texts += page
    if not files:
        return [differs(_path(1), "the file is missing")]
    whole = "".join(texts)
    for one in _handing(job).handed:
        for file in one.files:
            if texts.count(file) != 1 and not all(piece in whole for piece in pieces(file, 0.0)):
                found.append(differs(_path(1), f"does not name {file}"))
    return found


def archive(files: Mapping[str, bytes]) -> bytes:
    """Cut files with their sheet, drawings and `parts/*.step` of a piece, sorted, without times: the same bytes every time."""
    held = sorted(path for path in files if path.startswith(FOLDERS) or (path.startswith("parts/") and path.endswith(".step")))
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as packed:
        for path in held:
            entry = zipfile.ZipInfo(path, EARLIEST)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = UNIX
            entry.external_attr = FILE_MODE << 16
            packed.writestr(entry, files[path])
    return data.getvalue()


def unsound(data: bytes, files: Mapping[str, bytes]) -> list[Finding]:
    """What differs between an archive, read back, and the files that it was made of."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            return [
                differs(ARCHIVE, f"{path} is not as it was written") for path in packed.namelist() if packed.read(path) != files.get(path)
            ]
    except (zipfile.BadZipFile, zipfile.LargeZipFile, OSError) as fault:
        return [differs(ARCHIVE, f"cannot be read: {fault}")]
