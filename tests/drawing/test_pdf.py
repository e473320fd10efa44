"""The PDF: pages, bookmarks, letters that fit and are in the file, true arcs, the same bytes every time."""

import io
import math
import re
import shutil
import subprocess

import pytest
from drawn_parts import SAMPLES, design
from pypdf import PdfReader
from reading_sheets import labels, texts
from reportlab.pdfbase import pdfmetrics

from build123.drawing.lettering import CAPITALS_PER_EM, text_width
from build123.drawing.pdf import BOLD, PLAIN, POINT_MM, Chapter, drawable, render
from build123.drawing.sheet import SheetAbout, draw_part, part_sheets
from build123.drawing.vocabulary import Arc, Circle, Group, Label, Line, Pen, Polyline, Sheet, Size


def sheet(*items):
    return Sheet(Size("A4", 210.0, 297.0), "t", "d", "1:1", (), (Group("note", items),))


def page(*items):
    return PdfReader(io.BytesIO(render("t", [Chapter("c", (("s", sheet(*items)),))]))).pages[0]


def numbers(content, operator):
    return [tuple(map(float, m.split())) for m in re.findall(rf"((?:-?[\d.]+ )+){operator}\b", content)]


def content(*items):
    return page(*items).get_contents().get_data().decode("latin-1")


@pytest.fixture(scope="module")
def sheets():
    return part_sheets(design(*(make() for make in SAMPLES)), failed=True)


@pytest.fixture(scope="module")
def data(sheets):
    return render("Seed cabinet", [Chapter("parts", tuple(sheets.items()))])


def test_a_page_for_each_sheet_in_its_own_size(sheets, data):
    reader = PdfReader(io.BytesIO(data), strict=True)
    assert len(reader.pages) == len(sheets)
    for one, meant in zip(reader.pages, sheets.values(), strict=True):
        assert float(one.mediabox.width) * POINT_MM == pytest.approx(meant.size.width, abs=0.01)
        assert float(one.mediabox.height) * POINT_MM == pytest.approx(meant.size.height, abs=0.01)


def test_bookmarks_name_the_sheets_and_lead_to_them(sheets, data):
    reader = PdfReader(io.BytesIO(data))
    chapter, entries = reader.outline
    assert chapter.title == "parts"
    assert [entry.title for entry in entries] == list(sheets)
    assert [reader.get_destination_page_number(entry) for entry in entries] == list(range(len(sheets)))


def test_fonts_are_in_the_file_and_nothing_is_a_picture(data):
    for one in PdfReader(io.BytesIO(data)).pages:
        fonts = one["/Resources"]["/Font"]
        assert all("/FontFile2" in font.get_object()["/FontDescriptor"] for font in fonts.values())
        assert not one.images


def test_all_words_can_be_read_out(sheets, data):
    for one, meant in zip(PdfReader(io.BytesIO(data)).pages, sheets.values(), strict=True):
        found = one.extract_text()
        words = {word for text in texts(meant) for word in text.split()}
        assert {word for word in words if drawable(word) not in found} == set()


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler is not installed")
def test_poppler_reads_it_too(sheets, data, tmp_path):
    path = tmp_path / "drawings.pdf"
    path.write_bytes(data)
    said = subprocess.run(["pdftotext", "-enc", "UTF-8", path, "-"], capture_output=True, text=True, check=True)
    assert said.stderr == "" and all("DRY FIT FAILED" in one for one in said.stdout.split("\f")[:-1])
    assert said.stdout.count("\f") == len(sheets)


def test_same_sheets_same_bytes_and_no_time_of_day(sheets, data):
    assert render("Seed cabinet", [Chapter("parts", tuple(sheets.items()))]) == data
    assert set(re.findall(rb"Date \(D:(\d{14})", data)) <= {b"20000101000000"}


def test_no_text_is_wider_than_the_room_it_was_given(sheets):
    """The room is reckoned with the widths of common fonts; what the font of the PDF needs more is squeezed, and it is little."""
    most = 0.0
    for meant in sheets.values():
        for label in labels(meant):
            size = label.height / CAPITALS_PER_EM
            width = pdfmetrics.stringWidth(drawable(label.text), BOLD if label.bold else PLAIN, size)
            most = max(most, width / text_width(label.text, label.height, label.bold))
    assert most < 1.06


def test_a_squeezed_text_keeps_to_its_room():
    wide = Label("MMMMMWWWWW", (50.0, 50.0), 5.0, bold=True)
    ratio = text_width(wide.text, 5.0, True) / pdfmetrics.stringWidth(wide.text, BOLD, 5.0 / CAPITALS_PER_EM)
    found = numbers(content(wide), "Tz")
    assert (not found and ratio >= 1.0) or found[0][0] == pytest.approx(100 * ratio, abs=0.01)


@pytest.mark.parametrize(
    ("text", "shown"),
    [("600 × 90° Ø½ – …", "600 × 90° Ø½ – …"), ("⌀8", "Ø8"), ("Étagère", "Étagère"), ("\u0141uk", "Łuk"), ("ż", "z"), ("木", "?")],
)
def test_signs_that_the_font_lacks_are_replaced(text, shown):
    assert drawable(text) == shown


def on_curve(content_text, centre, radius):
    """Greatest distance from a circle of all cubic curves of a page, mm."""
    worst = 0.0
    at = None
    for line in re.findall(r"(?:-?[\d.]+ )+(?:m|l|c)\b", content_text):
        *values, operator = line.split()
        values = [float(v) for v in values]
        if operator == "c":
            p = [at, *zip(values[::2], values[1::2], strict=True)]
            for k in range(21):
                t = k / 20
                w = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
                x, y = (sum(a * q[n] for a, q in zip(w, p, strict=True)) for n in (0, 1))
                worst = max(worst, abs(math.dist((x, y), centre) - radius))
        at = tuple(values[-2:])
    assert " c" in content_text
    return worst


@pytest.mark.parametrize(
    "item",
    [
        Circle((100.0, 100.0), 40.0, Pen.visible),
        Arc((100.0, 100.0), 40.0, 30.0, 290.0, Pen.visible),
        Polyline(((140.0, 100.0, math.tan(math.radians(100) / 4)), (100 + 40 * math.cos(math.radians(100)), 100 + 40 * math.sin(math.radians(100)), 0.0))),
        Polyline(((100.0, 140.0, -math.tan(math.radians(250) / 4)), (100 + 40 * math.cos(math.radians(-160)), 100 + 40 * math.sin(math.radians(-160)), 0.0))),
    ],
    ids=["circle", "arc", "left turn", "long right turn"],
)  # fmt: skip
def test_arcs_are_true(item):
    assert on_curve(content(item), (100.0, 100.0), 40.0) < 0.02


def test_a_line_lies_where_it_was_put():
    found = content(Line((12.5, 30.0), (190.25, 280.0), Pen.visible))
    assert (12.5, 30.0) in numbers(found, "m") and (190.25, 280.0) in numbers(found, "l")
    (matrix,) = [m for m in numbers(found, "cm") if abs(m[0] - 1 / POINT_MM) < 1e-3]
    assert matrix[0] == pytest.approx(72 / 25.4, abs=1e-4) and matrix[3] == pytest.approx(72 / 25.4, abs=1e-4)


def test_many_names_and_strange_ones_do_no_harm():
    part = SAMPLES[0]()
    strange = draw_part([part], SheetAbout("\u202e(\\)<</Names>> 木 \x07 endobj", "mm"))
    reader = PdfReader(io.BytesIO(render("(\\) \u6728", [Chapter("a)b", (("c(d", strange),))])), strict=True)
    assert len(reader.pages) == 1 and reader.outline[0].title == "a)b" and reader.metadata.title == "(\\) \u6728"
