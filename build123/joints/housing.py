"""The geometry that dado, groove, rabbet and tongue share: a member's end let into a trench in the face of a receiver."""

from __future__ import annotations

import math
from dataclasses import dataclass

from build123.fields.show import show_length
from build123.joints.joinery import Clearance, Joinery, Meeting
from build123.model.body import DIRECTIONS, Body
from build123.model.design import Expect, ExpectKind
from build123.model.feature import About, Datum, EndKind, Feature, Pocket, Purpose, Trench, TrenchEnd, Vertex
from build123.model.frame import Box, Frame, Plane, Vec, add, cross, dot, scale, unit
from build123.model.why import Why
from build123.problem import SpecError, Text

SEAT_MM = 0.01
"""A seat is taken to touch within this: a tenth of what a careful saw cut varies (common practice)."""
PAST_MM = 1.0
"""How far an outline on the edge of the wood is given past it."""


@dataclass(frozen=True, slots=True)
class Way:
    """Where a trench runs on the receiver's face.

    `frame`: x along the trench, z out of the receiver. Walls are the member's (or its tongue's) two planes; `left_y` and
    `right_y` are where they cross the face, `lean_deg` how they go on below it. `low_x`, `high_x` are the member's two ends
    at the face: one number for each wall (right, left), equal for a square end.
    """

    frame: Frame
    left: Plane
    right: Plane
    left_y: float
    right_y: float
    lean_deg: float
    low_x: tuple[float, float]
    high_x: tuple[float, float]


def along_trench(member: Body, receiver_normal: Vec) -> Vec:
    """The direction that a member's end crosses a face in, from front to back, left to right or bottom to top."""
    d = unit(cross(receiver_normal, member.planes[(member.thickness_axis, 1)].normal))
    big = max(range(3), key=lambda k: (round(abs(d[k]), 6), k == 1))
    return d if d[big] > 0 else scale(d, -1.0)


def way_of(at: Joinery, met: Meeting, walls: tuple[Plane, Plane] | None = None) -> Way:
    """Where the trench for a meeting runs; `walls` are the planes of a tongue instead of the member's faces."""
    member = at.planned(met.member)
    touch = met.touch
    if touch.a_face[0] == member.thickness_axis:
        raise SpecError.at(
            "face-in-housing",
            f"{met.member} lies flat against {met.receiver}: a {at.key} takes an edge or an end",
            at.span,
            change="use glued, dowels or rests for faces that lie against each other",
        )
    surface = at.planned(met.receiver).planes[touch.b_face]
    d = along_trench(member, touch.normal)
    frame = Frame(scale(surface.normal, surface.offset), d, cross(touch.normal, d), touch.normal)
    high, low = walls or (member.planes[(member.thickness_axis, 1)], member.planes[(member.thickness_axis, -1)])
    left, right = (high, low) if dot(high.normal, frame.y) > 0 else (low, high)

    def at_surface(plane: Plane) -> float:
        return (plane.offset - dot(plane.normal, frame.origin)) / dot(plane.normal, frame.y)

    other = next(k for k in range(3) if k not in (touch.a_face[0], member.thickness_axis))
    ends = [member.planes[(other, s)] for s in (-1, 1)]
    ends.sort(key=lambda p: dot(p.normal, d))

    def crossing(end: Plane, y: float) -> float:
        return (end.offset - dot(end.normal, add(frame.origin, scale(frame.y, y)))) / dot(end.normal, d)

    ly, ry = at_surface(left), at_surface(right)
    lean = math.degrees(math.atan2(dot(left.normal, frame.z), dot(left.normal, frame.y)))
    return Way(
        frame, left, right, ly, ry, lean, (crossing(ends[0], ry), crossing(ends[0], ly)), (crossing(ends[1], ry), crossing(ends[1], ly))
    )


@dataclass(frozen=True, slots=True)
class Stop:
    """Where a trench is told to stop: how far in from the receiver's edge that looks to `word`."""

    word: str
    distance: Why


def read_stops(at: Joinery, texts: tuple[Text, ...]) -> list[Stop]:
    """`3/8 from front` and the like. SpecError `bad-stop`."""
    stops = []
    for text in texts:
        head, sep, word = text.rpartition(" from ")
        if not sep or word.strip() not in DIRECTIONS:
            raise SpecError.at(
                "bad-stop",
                f"{str(text)!r} does not say which edge it stops from",
                text.span,
                change="write for example `3/8 from front`",
            )
        start = text.place(0, len(head))
        distance = at.length(Text(head, start, text.plain), "stop")
        if distance.value <= 0:
            raise SpecError.at("bad-stop", f"a trench must stop short of the {word.strip()} edge by more than 0", text.span)
        stops.append(Stop(word.strip(), distance))
    return stops


@dataclass(frozen=True, slots=True)
class Ends:
    """The two ends of a trench: position along it (mm in the way's frame), kind, and the stop that set it."""

    low: float
    high: float
    low_end: TrenchEnd
    high_end: TrenchEnd
    low_stop: Stop | None = None
    high_stop: Stop | None = None
    skewed: bool = False


def ends_of(at: Joinery, met: Meeting, way: Way, *, through: bool, stops: list[Stop], closed: TrenchEnd, room_mm: float) -> Ends:
    """Where the trench ends: open at the receiver's edges, else closed with room, or where it is told to stop.

    It is laid out for the parts as they are planned. An open end runs out of a receiver as cut wherever its edge is, and a
    closed one lies further out for a member that came out longer, unless the receiver is cut too.
    """
    receiver = at.planned(met.receiver)
    found: list[tuple[float, TrenchEnd, Stop | None]] = []
    skewed = False
    middle_y = (way.left_y + way.right_y) / 2
    for sign, xs in ((-1.0, way.low_x), (1.0, way.high_x)):
        d = scale(way.frame.x, sign)
        stop = next((s for s in stops if dot(at.ways[s.word], d) > 0.7), None)
        inner = (min(xs) + max(xs)) / 2
        centre = way.frame.point((inner, middle_y, 0.0))
        edge = inner + sign * receiver.exit(centre, d)
        past = [receiver.exit(way.frame.point((x, y, 0.0)), d) <= 1e-6 for x, y in zip(xs, (way.right_y, way.left_y), strict=True)]
        if stop is not None:
            x = edge - sign * stop.distance.value
            if sign * (inner - x) < -1e-9:
                raise SpecError.at(
                    "stop-without-effect",
                    f"{met.member} already ends {show_length(abs(edge - inner), at.units)} from the {stop.word} edge of {met.receiver},"
                    f" so there is nothing to stop at {show_length(stop.distance.value, at.units)}",
                    stop.distance.span or at.span,
                    change="take the stop out: the trench ends with the member by itself",
                )
            found.append((x, closed, stop))
        elif through or all(past):
            at_edge = inner + sign * at.grown(met.receiver).exit(centre, d) if met.receiver in at.tray.made else edge
            found.append((at_edge, TrenchEnd(), None))
        else:
            skewed = skewed or abs(xs[0] - xs[1]) > 1e-6
            found.append((inner + sign * (room_mm + _round_mm(closed) + _longer(at, met, d)), closed, None))
    unused = [s for s in stops if s not in (found[0][2], found[1][2])]
    if unused:
        raise SpecError.at(
            "bad-stop",
            f"the {at.key} in {met.receiver} does not run towards {unused[0].word}, so it cannot stop there",
            unused[0].distance.span or at.span,
        )
    (low, low_end, low_stop), (high, high_end, high_stop) = found
    if high - low <= 0:
        raise SpecError.at("bad-stop", f"the stops leave nothing of the {at.key} for {met.member} in {met.receiver}", at.span)
    return Ends(low, high, low_end, high_end, low_stop, high_stop, skewed)


def _longer(at: Joinery, met: Meeting, d: Vec) -> float:
    """How much further than planned a member reaches along an uncut receiver, mm."""
    off = at.off(met.member, d)
    return 0.0 if off is None or met.receiver in at.tray.made else max(off.by_mm, 0.0)


def side_open(at: Joinery, met: Meeting, way: Way, ends: Ends) -> tuple[bool, bool]:
    """Whether the left and the right wall lie at or past the receiver's edge all along."""
    receiver = at.planned(met.receiver)
    middle = (ends.low + ends.high) / 2

    def past(y: float, sign: float) -> bool:
        return all(
            receiver.exit(way.frame.point((x, y, 0.0)), scale(way.frame.y, sign)) <= 1e-6
            for x in (middle, 0.9 * ends.low + 0.1 * ends.high, 0.1 * ends.low + 0.9 * ends.high)
        )

    return past(way.left_y, 1.0), past(way.right_y, -1.0)


@dataclass(frozen=True, slots=True)
class Cut:
    """Numbers of one trench, with their reasons."""

    depth: Why
    into: Why
    clearance_mm: float
    label: str
    width: Why
    fit: str
    open_left: bool = False
    open_right: bool = False


def region(way: Way, ends: Ends, depth_mm: float) -> Box:
    """The box of a trench in the piece, with a little air."""
    points = [way.frame.point((x, y, z)) for x in (ends.low, ends.high) for y in (way.left_y, way.right_y) for z in (0.0, -depth_mm)]
    return Box.around(points).grown(0.5)


def cut_trench(at: Joinery, met: Meeting, joint: str, way: Way, ends: Ends, cut: Cut) -> None:
    """The receiver's trench: the member's walls moved out by half the clearance each, open sides left where they are."""
    spread = math.cos(math.radians(way.lean_deg))
    whole = cut.clearance_mm / spread
    left = way.left_y + (0.0 if cut.open_left else whole if cut.open_right else whole / 2)
    right = way.right_y - (0.0 if cut.open_right else whole if cut.open_left else whole / 2)
    width = cut.width
    for is_open, sign in ((cut.open_left, 1.0), (cut.open_right, -1.0)):
        off = at.off(met.receiver, scale(way.frame.y, sign)) if is_open else None
        if off is not None and off.by_mm > 0.0:
            left, right = (left + off.by_mm, right) if sign > 0 else (left, right - off.by_mm)
            width = off.added(width, met.receiver)
    datum = Datum(way.frame, "+z")
    why = {"depth": cut.depth, "width": width}
    stops = [s for s in (ends.low_stop, ends.high_stop) if s is not None]
    if stops:
        why["stop"] = stops[0].distance
    about = About(
        id=f"{joint}/trench",
        label=("stopped " if stops else "") + cut.label,
        purpose=Purpose.housing,
        group=f"{cut.label} {(left - right) * spread:.3f} x {cut.depth.value:.3f}",
        joint=joint,
        members=(met.member,),
        fit=cut.fit,
        why=why,
    )
    if ends.skewed:
        if abs(way.lean_deg) > 1e-9:
            raise SpecError.at(
                "skewed-housing",
                f"{met.member} meets {met.receiver} at a lean and ends on it at a slant; such a stopped trench is not known",
                at.span,
                change=f"let {met.member} run to the edges of {met.receiver}, or say `run: through`",
            )
        corners = ((way.low_x[0], right), (way.high_x[0], right), (way.high_x[1], left), (way.low_x[1], left))
        half = cut.clearance_mm / 2
        outline = tuple(Vertex(x + (-half if n in (0, 3) else half), y) for n, (x, y) in enumerate(corners))
        at.feature(met.receiver, Feature(Pocket(datum, outline, depth_mm=cut.depth.value), about))
        return
    centre = (left + right) / 2
    at.feature(
        met.receiver,
        Feature(
            Trench(
                datum,
                (ends.low, centre),
                (ends.high, centre),
                (left - right) * spread,
                cut.depth.value,
                ends.low_end,
                ends.high_end,
                cut.open_left,
                cut.open_right,
                way.lean_deg,
            ),
            about,
        ),
    )


NOTCH_ROOM_MM = 0.4
"""A notch is longer than its stop by this, so that the hidden end never holds the joint open (about 1/64 in, common practice)."""


def cut_notches(at: Joinery, met: Meeting, joint: str, way: Way, ends: Ends, into_mm: float) -> None:
    """Notch the member's corners where the trench stops before the member does."""
    if abs(way.lean_deg) > 1e-9 and (ends.low_stop or ends.high_stop):
        raise SpecError.at("skewed-housing", f"{met.member} meets {met.receiver} at a lean; a notched stop is not known for that", at.span)
    member = at.grown(met.member)
    face = member.planes[(member.thickness_axis, 1)]
    for sign, stop, x, xs in ((-1.0, ends.low_stop, ends.low, way.low_x), (1.0, ends.high_stop, ends.high, way.high_x)):
        if stop is None:
            continue
        inner = x - sign * (NOTCH_ROOM_MM + _round_mm(ends.low_end if sign < 0 else ends.high_end))
        off = at.off(met.member, scale(way.frame.x, sign))
        outer = (min(xs) if sign < 0 else max(xs)) + sign * (PAST_MM + (max(off.by_mm, 0.0) if off else 0.0))
        frame = Frame(scale(face.normal, face.offset), way.frame.x, cross(face.normal, way.frame.x), face.normal)
        points = [
            way.frame.point((px, 0.0, pz))
            for px, pz in ((inner, 0.0), (outer, 0.0), (outer, -into_mm - PAST_MM), (inner, -into_mm - PAST_MM))
        ]
        flat = [frame.local_point(p)[:2] for p in points]
        if (flat[1][0] - flat[0][0]) * (flat[2][1] - flat[0][1]) - (flat[2][0] - flat[0][0]) * (flat[1][1] - flat[0][1]) < 0:
            flat.reverse()
        at.feature(
            met.member,
            Feature(
                Pocket(Datum(frame, "+z"), tuple(Vertex(a, b) for a, b in flat)),
                About(
                    id=f"{joint}/notch {stop.word}",
                    label="notch",
                    purpose=Purpose.shoulder,
                    group=f"notch {stop.distance.value:.3f}",
                    joint=joint,
                    members=(met.receiver,),
                    why={
                        "length": stop.distance,
                        "depth": Why("notch", into_mm, f"as far as {met.member} goes into {met.receiver}", span=at.span),
                    },
                ),
            ),
        )


def expect_walls(met: Meeting, way: Way, ends: Ends, depth_mm: float, fit: Clearance, label: str) -> Expect:
    """Both walls about the member: the sum of the two gaps is what the fit wants."""
    return Expect(
        ExpectKind.clearance,
        met.member,
        met.receiver,
        unit(way.left.normal),
        region(way, ends, depth_mm),
        fit.low_mm,
        fit.high_mm,
        fit.why.value,
        f"between the walls of the {label}",
        fit.name,
    )


def expect_seat(
    met: Meeting, way: Way, ends: Ends, depth_mm: float, what: str, *, direction: Vec | None = None, glued: bool = True
) -> Expect:
    """A face of the member that comes home on the receiver."""
    return Expect(
        ExpectKind.seat,
        met.member,
        met.receiver,
        direction or scale(way.frame.z, -1.0),
        region(way, ends, depth_mm),
        -SEAT_MM,
        SEAT_MM,
        0.0,
        what,
        glued=glued,
    )


def slack_mm(air_mm: float) -> tuple[float, float]:
    """How much less and how much more a member may go in that is to have this much air at its end.

    A quarter to twice of the air is accepted (judgement: glue and dust need some, and a shoulder bears in any case).
    """
    return air_mm, air_mm * 3 / 4


def expect_gap(met: Meeting, way: Way, ends: Ends, depth_mm: float, air_mm: float, what: str, shoulder: bool) -> Expect:
    """Air that must stay between the member's end and the floor."""
    less, more = slack_mm(air_mm)
    return Expect(
        ExpectKind.gap,
        met.member,
        met.receiver,
        scale(way.frame.z, -1.0),
        region(way, ends, depth_mm),
        air_mm - more,
        air_mm + less,
        air_mm,
        what,
        shoulder=shoulder,
    )


def _round_mm(end: TrenchEnd) -> float:
    return end.radius_mm if end.kind is EndKind.round else 0.0


def closed_end(at: Joinery, word: Text | None, width_mm: float) -> TrenchEnd:
    """How a closed end is left: square (chopped with a chisel) or round as the cutter leaves it."""
    if word is not None and word == "round":
        return TrenchEnd(EndKind.round, width_mm / 2)
    return TrenchEnd(EndKind.square)
