import json

from build123.problem import Finding, Place, Severity, Source, Span
from build123.problem.render_json import render_json


def test_every_field_is_told_and_places_count_from_one():
    span = Span(Source("a/spec.yaml", "x: shelv"), 0, 3, 0, 8)
    finding = Finding(
        "seat-open",
        Severity.warning,
        "stands off",
        (Place(span, "here"),),
        ("shelf", "side"),
        "dado: shelf in side",
        (1.0, 2.0, 3.00000049),
        {"gap_mm": 0.5, "area_mm2": float("inf")},
        "glue does not fill",
        "GLUE-FILM",
        "make it longer",
        "overlap-1",
        "meant",
    )
    assert json.loads(render_json([finding])) == [
        {
            "id": "seat-open",
            "severity": "warning",
            "message": "stands off",
            "places": [{"file": "a/spec.yaml", "line": 1, "column": 4, "end_line": 1, "end_column": 9, "label": "here"}],
            "parts": ["shelf", "side"],
            "joint": "dado: shelf in side",
            "at_mm": [1.0, 2.0, 3.0],
            "numbers": {"gap_mm": 0.5, "area_mm2": None},
            "why": "glue does not fill",
            "source": "GLUE-FILM",
            "change": "make it longer",
            "overlap": "overlap-1",
            "waived": "meant",
        }
    ]


def test_no_finding_is_an_empty_list_and_the_text_is_ascii():
    assert render_json([]) == "[]\n"
    assert render_json([Finding("x", Severity.note, "木\x1b")]).isascii()
