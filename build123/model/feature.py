"""The six kinds of feature: plain numbers in the part's bench frame (mm, degrees).

Every feature removes wood (a mark removes none), so a solid is its blank minus the union of its features and their
order cannot matter. Kernel, checks, drawings and exporters match on these kinds and never hear the name of a joint.

The bench frame of a part: origin at a corner of the blank, x along the grain (0..length), y across it (0..width),
z through the thickness (0..thickness), worked face up (+z).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import Literal, TypeAlias

from build123.model.frame import Frame, Plane, Vec, Vec2
from build123.model.why import Why

Surface: TypeAlias = Literal["+x", "-x", "+y", "-y", "+z", "-z", "trim"]
"""A face of the blank by the direction it looks to on the bench, or the face that a trim made."""


@dataclass(frozen=True, slots=True)
class Datum:
    """A frame on a surface: its z axis is the outward normal, its xy plane is the surface.

    Depths are measured along -z, into the wood.
    """

    frame: Frame
    surface: Surface


@dataclass(frozen=True, slots=True)
class Trim:
    """Takes off all wood beyond a plane (outward normal)."""

    plane: Plane


class EndKind(Enum):
    """How a trench ends as the cutter leaves it."""

    open = "open"
    square = "square"
    round = "round"
    scoop = "scoop"


@dataclass(frozen=True, slots=True)
class TrenchEnd:
    """`radius_mm` is the corner radius of a round end (at most half the width) or the sweep radius of a scoop."""

    kind: EndKind = EndKind.open
    radius_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Trench:
    """A straight channel: dado, groove, rabbet, kerf, dovetail way.

    `start` and `end` are points of the centre line on the datum surface; an open end is where the wood ends, and the
    kernel runs past it. `width_mm` is square to the walls, `depth_mm` square to the datum. `lean_deg` tilts both
    walls alike: looking from start to end with the datum's normal up, positive lean makes the channel go to the left as
    it goes deeper. `flare_deg` widens the floor: each wall leans outwards by that angle. `open_left` and `open_right`
    (same view) say that there is no wall on that side: the channel is a step at an edge, and the kernel runs past it.
    """

    datum: Datum
    start: Vec2
    end: Vec2
    width_mm: float
    depth_mm: float
    start_end: TrenchEnd = TrenchEnd()
    end_end: TrenchEnd = TrenchEnd()
    open_left: bool = False
    open_right: bool = False
    lean_deg: float = 0.0
    flare_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class Vertex:
    """A corner of a closed outline; `bulge` is tan(a quarter of the angle) of the arc to the next corner.

    0 is a straight line, 1 a half circle that turns counter-clockwise (the DXF convention).
    """

    x: float
    y: float
    bulge: float = 0.0


Outline: TypeAlias = tuple[Vertex, ...]
"""A closed outline, counter-clockwise, in datum coordinates."""


@dataclass(frozen=True, slots=True)
class Pocket:
    """Wood taken out within an outline, islands left standing.

    `depth_mm` is None for one that goes through. `far_outline`, with as many corners as `outline`, is its shape at the
    far side (floor or opposite face), ruled between the two. Sides on the edge of the wood are given past it.
    """

    datum: Datum
    outline: Outline
    islands: tuple[Outline, ...] = ()
    depth_mm: float | None = None
    far_outline: Outline | None = None


@dataclass(frozen=True, slots=True)
class HoleStep:
    """One cylinder of a hole, from the datum down to `depth_mm`.

    `cone_deg` is the included angle of a cone that leads from this diameter (at the top of the step) to the next step's;
    0 is a plain cylinder.
    """

    diameter_mm: float
    depth_mm: float
    cone_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class Hole:
    """A drilled hole, widest step first.

    `axis` points into the wood, in datum coordinates: (0, 0, -1) is square to the surface. Depths are along the axis from
    the surface. `through` makes the last step run out of the far side. `tip_deg` is the included angle of the bit's point
    below the last step, 0 for a flat floor. `slot` is the vector from one end of a slotted hole to the other, centred on
    `point`.
    """

    datum: Datum
    point: Vec2
    steps: tuple[HoleStep, ...]
    axis: Vec = (0.0, 0.0, -1.0)
    through: bool = False
    tip_deg: float = 0.0
    slot: Vec2 = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Profile:
    """A section swept along an arris (an edge of the wood).

    The arris is the line from `start` to `end` in bench coordinates; `u` and `v` are unit vectors square to it that point
    out of the wood on the two faces that meet there. The section is an outline in (u, v) with the arris at (0, 0): what
    lies inside it is taken off. `run_start_mm`, `run_end_mm` extend it past the ends.
    """

    start: Vec
    end: Vec
    u: Vec
    v: Vec
    section: Outline
    run_start_mm: float = 0.0
    run_end_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Mark:
    """Lines or regions on a surface that are drawn and never cut: glue, pins, where something lies."""

    datum: Datum
    lines: tuple[tuple[Vec2, Vec2], ...] = ()
    regions: tuple[Outline, ...] = ()
    points: tuple[Vec2, ...] = ()


Geometry: TypeAlias = Trim | Trench | Pocket | Hole | Profile | Mark


class Purpose(Enum):
    """What a feature is for."""

    seat = "seat"
    housing = "housing"
    shoulder = "shoulder"
    clearance = "clearance"
    pilot = "pilot"
    movement = "movement"
    relief = "relief"
    shape = "shape"
    layout = "layout"


class Stage(Enum):
    """When a feature is cut."""

    bench = "bench"
    dry_fit = "dry fit"
    after_glue_up = "after glue-up"
    from_work = "taken from the work"


@dataclass(frozen=True, slots=True)
class About:
    """What a feature says beside its geometry.

    `id` is stable and holds no index into a list. `label` is the trade's name with its numbers left out: "dado",
    "stopped dado", "rabbet", "dowel hole". `group` is shared by features cut with one setup. `joint` is the joint's id,
    empty for a shape. `members` are the parts that go there. `reference` names the edge that it is laid out from. `why`
    holds the reason of each number by name ("width", "depth", "position", ...).
    """

    id: str
    label: str
    purpose: Purpose
    group: str = ""
    joint: str = ""
    members: tuple[str, ...] = ()
    reference: str = ""
    fit: str = ""
    stage: Stage = Stage.bench
    why: Mapping[str, Why] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Feature:
    """Geometry, which keys and kernels look at, and what is said about it, which they do not."""

    geometry: Geometry
    about: About
