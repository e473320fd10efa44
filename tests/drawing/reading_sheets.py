"""Looking at a sheet as a machine can: every label, arrowhead and line on it."""

import itertools

from build123.drawing.expand import expand
from build123.drawing.lettering import Rect, label_box
from build123.drawing.vocabulary import Area, Label, Line, LinearDimension, Polyline


def primitives(sheet, *roles):
    return [p for g in sheet.all_groups if not roles or g.role in roles for item in g.items for p in expand(item)]


def labels(sheet, *roles):
    return [p for p in primitives(sheet, *roles) if isinstance(p, Label)]


def texts(sheet, *roles):
    return [label.text for label in labels(sheet, *roles)]


def arrowheads(sheet):
    areas = [p for p in primitives(sheet, "dimension", "note", "mark") if isinstance(p, Area)]
    return [
        Rect(min(x for x, _ in a.points), min(y for _, y in a.points), max(x for x, _ in a.points), max(y for _, y in a.points))
        for a in areas
    ]


def segments(sheet):
    found = []
    for p in primitives(sheet):
        if isinstance(p, Line):
            found.append((p.start, p.end))
        elif isinstance(p, Polyline):
            points = [q[:2] for q in p.points]
            points += points[:1] if p.closed else []
            found += itertools.pairwise(points)
    return found


def clashes(sheet):
    """Pairs of what lies on one another: text on text, on an arrowhead, on a line; text off the sheet."""
    boxes = [(label.text, label_box(label)) for label in labels(sheet)]
    found = [(a, b) for k, (a, one) in enumerate(boxes) for b, two in boxes[k + 1 :] if one.overlaps(two)]
    found += [(a, "arrowhead") for a, one in boxes for head in arrowheads(sheet) if one.overlaps(head)]
    found += [(a, line) for a, one in boxes for line in segments(sheet) if one.crossed_by(*line)]
    paper = Rect(0, 0, sheet.size.width, sheet.size.height)
    return found + [(a, "off the sheet") for a, one in boxes if not one.within(paper)]


def covers(sheet):
    return [c for g in sheet.all_groups for c in g.covers]


def dimensions(sheet):
    """(view, dimension) for every dimension line."""
    return [(v, i) for v in sheet.views for g in v.groups for i in g.items if isinstance(i, LinearDimension)]
