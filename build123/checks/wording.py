"""How findings of checks are worded and put together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from build123.checks.registry import id_of
from build123.checks.seen import Seen
from build123.model.design import Expect, Joint
from build123.model.feature import Surface
from build123.model.frame import Vec
from build123.model.part import Part
from build123.problem import Finding, Place, Severity, Span
from build123.trade.tables import fits, rules


def finding(
    module: str,
    severity: Severity,
    message: str,
    seen: Seen,
    *,
    parts: Iterable[str],
    joints: Iterable[Joint] = (),
    at: Vec | None = None,
    numbers: Mapping[str, float] | None = None,
    change: str = "",
    source: str = "",
    overlap: str = "",
) -> Finding:
    """A finding of the check in `module` (its `__name__`), pointing first at the joint and then at the parts."""
    names, entries = tuple(parts), tuple(joints)
    places: dict[Span, Place] = {}
    for label, span in (*((joint.id, joint.span) for joint in entries), *((name, _span(seen, name)) for name in names)):
        if span is not None:
            places.setdefault(span, Place(span, label))
    return Finding(
        id=id_of(module),
        severity=severity,
        message=message,
        places=tuple(places.values()),
        parts=names,
        joint=entries[0].id if entries else "",
        at_mm=at,
        numbers=dict(numbers or {}),
        source=source,
        change=change,
        overlap=overlap,
    )


def _span(seen: Seen, name: str) -> Span | None:
    body = seen.design.by_name.get(name) or seen.hardware.get(name)
    return None if body is None else body.span


def where(seen: Seen, at: Vec) -> str:
    """A point of the piece in words: how far right, back and up from its origin."""
    return f"x {seen.show(at[0])}, y {seen.show(at[1])}, z {seen.show(at[2])}"


def spot(expect: Expect) -> str:
    """Where an expected contact lies: "on the floor of the dado in left side", "on left cheek, where they are glued"."""
    if expect.what.startswith("where"):
        return f"on {expect.b}, {expect.what}"
    return f"{expect.what} in {expect.b}" if expect.what else f"on {expect.b}"


def together(names: Iterable[str]) -> str:
    """Names in a sentence: "a, b and c"; more than four are counted."""
    listed = list(names)
    if len(listed) > 4:
        return f"{listed[0]}, {listed[1]} and {len(listed) - 2} more"
    return " and ".join(part for part in (", ".join(listed[:-1]), listed[-1]) if part)


def all_alike(parts: tuple[Part, ...]) -> str:
    """The parts of one shape: the first, and how many more are the same."""
    more = len(parts) - 1
    return parts[0].name if more == 0 else f"{parts[0].name} (and {more} equal part{'s' if more > 1 else ''})"


_SIDES: tuple[tuple[Surface, Surface], ...] = (("-x", "+x"), ("-y", "+y"), ("-z", "+z"))


def face_towards(part: Part, direction: Vec) -> str:
    """The face of a part that looks most to a bench direction, by where it looks to in the piece."""
    axis = max(range(3), key=lambda k: abs(direction[k]))
    surface = _SIDES[axis][direction[axis] > 0]
    return f"{part.looks[surface]} face" if surface in part.looks else "face"


def member_of(expect: Expect) -> str:
    """What stands in a housing."""
    return together((expect.a, *expect.more))


def wanted(seen: Seen, expect: Expect) -> str:
    """The range that a fit accepts, in words."""
    fit = f"a {expect.fit} fit wants" if expect.fit else "wanted is"
    return f"{fit} {seen.show(expect.low_mm)} to {seen.show(expect.high_mm)}"


def fit_source(expect: Expect) -> str:
    """Where a fit's range is from: the table of fits, or the spec where that says something else."""
    fit = fits().get(expect.fit)
    if fit is None or abs(fit.low_mm - expect.low_mm) > 1e-6 or abs(fit.high_mm - expect.high_mm) > 1e-6:
        return "the spec's own fit" if expect.fit else ""
    return rules()[fit.rule].cited
