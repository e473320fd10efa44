"""The SVG of a sheet: safe, in millimetres, the same every time."""

from dataclasses import replace
from xml.etree import ElementTree

from drawn_parts import all_kinds, design, part, side

from build123.drawing.sheet import SheetAbout, draw_part, part_sheets
from build123.drawing.svg import render

SVG = "{http://www.w3.org/2000/svg}"


def test_sheet_size_is_in_millimetres():
    root = ElementTree.fromstring(render(draw_part([side()], SheetAbout("x", "mm"))))
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("420mm", "297mm", "0 0 420 297")
    assert root.find(f"{SVG}rect").get("fill") == "#fff"


def test_names_cannot_leave_their_text():
    hostile = replace(all_kinds(), name='</text><script>alert(1)</script>&"\x00\x1b\u202e')
    data = render(draw_part([hostile], SheetAbout("<piece> & 'co'", "mm")))
    root = ElementTree.fromstring(data)
    assert b"<script" not in data
    assert any("</text><script>" in (t.text or "") for t in root.iter(f"{SVG}text"))
    assert root.find(f"{SVG}title").text.startswith("<piece> & 'co': ")


def test_every_feature_is_named_on_a_group():
    root = ElementTree.fromstring(render(draw_part([all_kinds()], SheetAbout("x", "in"))))
    assert {f.about.id for f in all_kinds().features} <= {g.get("data-feature") for g in root.iter(f"{SVG}g")}


def test_two_runs_give_the_same_bytes():
    assert render(draw_part([side()], SheetAbout("x", "mm"))) == render(draw_part([side()], SheetAbout("x", "mm")))


def test_equal_parts_share_a_sheet_and_opposite_hands_name_each_other():
    left = side()
    right = replace(left, name="right side", shape_key=left.hand_key, hand_key=left.shape_key)
    shelf = part("shelf 1", 400, 200, 18, [])
    sheets = part_sheets(design(left, right, shelf, replace(shelf, name="shelf 2")), failed=False)
    assert list(sheets) == ["left side", "shelf 1"]
    assert "opposite" in [v.key for v in sheets["left side"].views]
    assert any(
        "make 1: right side" in v.items[1].text for view in sheets["left side"].views for v in view.groups[:1] if view.key == "opposite"
    )
    assert dict(sheets["left side"].fields)["opposite hand"] == "right side"
    assert dict(sheets["shelf 1"].fields)["make"] == "2"
