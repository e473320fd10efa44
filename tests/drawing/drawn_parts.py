"""Parts made by hand in the bench frame, for the tests of the drawings."""

import math

from build123.model.design import Design
from build123.model.feature import (
    About,
    Datum,
    EndKind,
    Feature,
    Hole,
    HoleStep,
    Mark,
    Pocket,
    Profile,
    Purpose,
    Trench,
    TrenchEnd,
    Trim,
    Vertex,
)
from build123.model.frame import Frame, Plane, dot
from build123.model.part import Part, Stock

PLY = Stock("ply", "sheet", "birch plywood", 18.1, nominal_mm=18)
UPRIGHT = {"+x": "top", "-x": "bottom", "-y": "front", "+y": "back", "+z": "right", "-z": "left"}
LEVEL = {"+x": "right", "-x": "left", "-y": "front", "+y": "back", "+z": "top", "-z": "bottom"}


def face(thickness_mm):
    return Datum(Frame((0, 0, thickness_mm)), "+z")


UNDER = Datum(Frame((0, 0, 0), (1, 0, 0), (0, -1, 0), (0, 0, -1)), "-z")
LEFT_END = Datum(Frame((0, 0, 0), (0, 0, 1), (0, 1, 0), (-1, 0, 0)), "-x")


def right_end(length_mm):
    return Datum(Frame((length_mm, 0, 0), (0, 1, 0), (0, 0, 1), (1, 0, 0)), "+x")


def feature(shape, id, label, *members, fit=""):
    return Feature(shape, About(id, label, Purpose.housing, members=members, fit=fit))


def part(name, length, width, thickness, features, looks=UPRIGHT, show="-z", stock=PLY):
    return Part(name, stock, Frame(), length, width, thickness, tuple(features), looks, show, name, f"opposite of {name}")


def side():
    """Three through dados, a stopped one with round end, a rabbet for the back, two dowel holes."""
    d = face(18.1)
    dados = [
        feature(Trench(d, (x + 9.075, 0), (x + 9.075, 300), 18.15, 6), f"dado: shelf {n} in left side", "dado", f"shelf {n}", fit="slip")
        for n, x in enumerate((60.0, 260.0, 470.0), 1)
    ]
    round_end = TrenchEnd(EndKind.round, 5)
    stopped = Trench(d, (629.075, 10), (629.075, 300), 18.15, 6, start_end=round_end)
    rabbet = Trench(d, (0, 296.9), (764, 296.9), 6.2, 10, open_left=True)
    holes = [feature(Hole(d, (740, y), (HoleStep(8, 12),)), f"dowel hole at {y}", "dowel hole", "rail") for y in (50, 200)]
    more = [feature(stopped, "stopped dado", "stopped dado", "top shelf"), feature(rabbet, "rabbet: back", "rabbet", "back"), *holes]
    return part("left side", 764, 300, 18.1, [*dados, *more])


def shelf():
    """Notches at both front corners, dowel holes in both ends, a groove underneath."""
    d = face(18.1)

    def notch(x):
        return Pocket(d, (Vertex(x[0], -5), Vertex(x[1], -5), Vertex(x[1], 10), Vertex(x[0], 10)))

    features = [feature(notch((-5, 6)), "notch left", "notch"), feature(notch((758, 769)), "notch right", "notch")]
    for y in (50, 140, 230):
        features.append(feature(Hole(right_end(764), (y, 9.05), (HoleStep(8, 25),), tip_deg=118), f"right {y}", "dowel hole", "right side"))
        features.append(feature(Hole(LEFT_END, (9.05, y), (HoleStep(8, 25),), tip_deg=118), f"left {y}", "dowel hole", "left side"))
    features.append(feature(Trench(UNDER, (0, -200), (764, -200), 6.2, 8), "groove", "groove", "panel"))
    return part("shelf", 764, 290, 18.1, features, LEVEL, "+z")


def raked_shelf():
    """Both ends and the back edge trimmed at 10 degrees, a dado with leaning walls."""
    c, s = math.cos(math.radians(10)), math.sin(math.radians(10))
    planes = [((-c, 0, s), (0, 0, 0)), ((c, 0, -s), (576, 0, 20)), ((0, c, s), (0, 125.38, 0))]
    trims = [feature(Trim(Plane(n, dot(n, p))), f"trim {k}", "trim") for k, (n, p) in enumerate(planes)]
    lean = feature(Trench(face(20), (300, 0), (300, 125.38), 18, 6, lean_deg=10), "raked dado", "dado", "divider")
    return part("raked shelf", 576, 125.38, 20, [*trims, lean], LEVEL, "+z")


def pin_side():
    """Sixty shelf pin holes in two rows, a large hole, three dados."""
    d = face(18)
    pins = [
        feature(Hole(d, (200 + 32 * k, y), (HoleStep(5, 10),)), f"pin {k} at {y}", "shelf pin hole") for k in range(30) for y in (37, 363)
    ]
    cable = feature(Hole(d, (1500, 200), (HoleStep(60, 18),), through=True), "cable hole", "cable hole")
    dados = [feature(Trench(d, (x, 0), (x, 400), 18.1, 6), f"dado at {x}", "dado", f"shelf at {x} mm") for x in (300, 900, 1600)]
    return part("tall side", 2200, 400, 18, [*pins, cable, *dados])


def all_kinds():
    """Every kind of feature with its special cases."""
    d = face(20)
    slot_ends = (Vertex(40, 60), Vertex(80, 60, 1.0), Vertex(80, 84), Vertex(40, 84, 1.0))
    island = (Vertex(55, 68), Vertex(65, 68), Vertex(65, 76), Vertex(55, 76))
    q = math.tan(math.radians(90) / 4)
    arch = (Vertex(120, -5), Vertex(200, -5), Vertex(200, 10, q), Vertex(180, 30), Vertex(140, 30, q), Vertex(120, 10))
    chamfer = (Vertex(0, 0), Vertex(-8, 0), Vertex(0, -8))
    lean = (math.sin(math.radians(15)), 0, -math.cos(math.radians(15)))
    scoop, square = TrenchEnd(EndKind.scoop, 60), TrenchEnd(EndKind.square)
    return part(
        'odd <b>&"one"',
        300,
        140,
        20,
        [
            feature(Pocket(d, slot_ends, (island,), 9.0), "mortise", "mortise", "leg & <rail>"),
            feature(Pocket(d, arch), "arch", "foot cut-out"),
            feature(Profile((0, 140, 20), (300, 140, 20), (0, 1, 0), (0, 0, 1), chamfer), "chamfer", "chamfer"),
            feature(Mark(d, lines=(((220, 40), (220, 120)), ((238, 40), (238, 120))), points=((229, 60),)), "mark", "glue", "cleat"),
            feature(Hole(d, (260, 100), (HoleStep(10, 5, 90), HoleStep(5, 20)), through=True), "screw", "clearance hole", "top"),
            feature(Hole(d, (260, 40), (HoleStep(5, 20),), through=True, slot=(0, 12)), "slot", "clearance hole", "top"),
            feature(Trench(d, (95, 50), (95, 140), 6, 5, start_end=scoop), "scoop", "stopped groove", "fin"),
            feature(Trench(d, (150, 60), (200, 110), 8, 4, start_end=square, end_end=square), "oblique", "dado", "wedge"),
            feature(Hole(d, (285, 70), (HoleStep(6, 15),), axis=lean), "leaning hole", "pocket hole", "face frame"),
        ],
    )


def plain_rail():
    """Two dowel holes in each end, which fit on a small sheet with notes written out or by letter."""
    ends = [feature(Hole(right_end(600), (y, 9.05), (HoleStep(8, 25),)), f"right {y}", "dowel hole", "right side") for y in (20, 56)]
    return part("front rail", 600, 76, 18.1, ends, LEVEL, "+z")


def cleat():
    """No features at all."""
    return part("cleat", 100, 20, 20, [])


SAMPLES = (side, shelf, raked_shelf, pin_side, all_kinds, plain_rail, cleat)


def design(*parts, units="mm"):
    return Design("Seed <cabinet> & more", "seed-cabinet", units, tuple(parts))
