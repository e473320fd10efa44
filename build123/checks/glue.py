"""Where glue holds two bodies together, as measured: seats that touch, and not in housings that are left loose to slide."""

from __future__ import annotations

from collections.abc import Iterator

from build123.checks.facing import PARALLEL, facing, play, shared_mm2
from build123.checks.seen import Pair, Seen
from build123.contacts.facing import SAME_PLANE_MM
from build123.model.design import Expect, ExpectKind, Joint
from build123.model.frame import dot
from build123.model.measured import FaceGap
from build123.trade.tables import fits, rules


def touches(seen: Seen, expect: Expect) -> bool:
    """Whether a seat is there on the solids, no further off than a film of glue fills."""
    face = facing(seen, expect)
    return face is not None and abs(face.gap_mm) <= rules()["GLUE-FILM"].most


def slides(seen: Seen, joint: Joint) -> bool:
    """Whether a housing is left loose on purpose: its fit is named easy, or it measures wider than any fit that is glued."""
    most = fits()["slip"].high_mm
    for expect in joint.expects:
        if expect.kind is ExpectKind.clearance:
            found = play(seen, expect)
            if expect.fit == "easy" or (found is not None and found.total_mm > most):
                return True
    return False


def glued_faces(seen: Seen, pair: Pair) -> Iterator[tuple[Joint, FaceGap]]:
    """The measured faces of a pair that glue holds.

    The floor of a housing that slides is left dry. Of a dowelled joint the dowels count and not the faces about them, which are
    left dry where the wood must move.
    """
    for joint in seen.joints_of.get(pair, ()):
        if slides(seen, joint) or any(expect.kind is ExpectKind.bore and expect.fit != "screw" for expect in joint.expects):
            continue
        for expect in joint.expects:
            if expect.kind is ExpectKind.seat and expect.glued and touches(seen, expect):
                for face in _in_one_plane(seen, expect):
                    yield joint, face


def _in_one_plane(seen: Seen, expect: Expect) -> list[FaceGap]:
    """All faces in the plane that a seat was found in."""
    first = facing(seen, expect)
    if first is None:
        return []
    height = dot(expect.direction, first.at)
    return [
        gap
        for gap in seen.gaps(expect.a, expect.b)
        if dot(gap.normal, expect.direction) > PARALLEL
        and abs(dot(expect.direction, gap.at) - height) <= SAME_PLANE_MM
        and shared_mm2(gap.near, expect.near, expect.direction) > 0.0
    ]
