"""What is made already takes its real size, and what is not cut yet follows it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from build123.fields.quantity import Units
from build123.fields.show import show_length
from build123.joints.dado import LEAST_DEPTH_MM
from build123.joints.joinery import Growth, Off, Tray
from build123.model.body import Body, FaceTag
from build123.model.feature import Datum, Feature, Profile, Trim
from build123.model.frame import PLAN_MM, add, dot, scale
from build123.model.part import Stock
from build123.model.why import Why
from build123.problem import Finding, Place, Severity, SpecError
from build123.resolve.as_cut import ALIKE_MM, Measured
from build123.resolve.sharing import LEFT_MM, Meets, meets, shared

LEAST_INTO_MM = 0.1
"""A member that goes in less is not let in at all."""


@dataclass(frozen=True, slots=True)
class Misfit:
    """A size as cut that could not be followed: how much longer it is than it would be, and why, in words."""

    measured: Measured
    off_mm: float
    would: Why
    cause: str
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Clause:
    """What is said of a part at one end, in the words for one part and for several."""

    name: str
    one: str
    many: str


@dataclass(frozen=True)
class Following:
    """The stage between growth and cutting. `sight` and `stock` are those of all parts; the tray is changed."""

    sight: Mapping[str, Body]
    stock: Mapping[str, Stock]
    tray: Tray
    units: Units

    def take(self, one: Measured, would: Why, off_mm: float, axis: int, flipped: bool) -> Finding | Misfit:
        """Move the ends of a part to its real size. What comes back tells where the difference went, or that it could not."""
        body = self.sight[one.part]
        low, high = (meets(body, (axis, side), self.sight, self.stock, self.tray) for side in (-1, 1))
        longer = "longer" if off_mm > 0 else "shorter"
        why = Why(f"{one.part} {longer} as cut", abs(off_mm), "{0} - {1}" if off_mm > 0 else "{1} - {0}", (one.why, would), one.span)
        shares = shared(off_mm, low, high, flipped)
        self._reaches(one, would, (low, high), shares)
        moved: list[Clause] = []
        unfit: list[Clause] = []
        for end in (low, high):
            by_mm = shares.get(end.tag, 0.0)
            if not by_mm:
                continue
            self.tray.off[(one.part, end.tag)] = Off(by_mm, _part_of(why, abs(by_mm)))
            end_moved, end_unfit = self._at(end, by_mm, "end" if one.word == "length" else "edge")
            moved += end_moved
            unfit += end_unfit
        if unfit:
            return Misfit(one, off_mm, would, said(unfit), tuple(dict.fromkeys(clause.name for clause in unfit)))
        shown, planned = self._show(one.why.value), self._show(would.value)
        message = f"{one.part} is {shown} {_long(one.word)} as cut and would be {planned}: {said(moved)}"
        numbers = {"as_cut_mm": one.why.value, "would_be_mm": would.value}
        return Finding("as-cut-followed", Severity.note, message, _places(one), (one.part,), numbers=numbers)

    def _reaches(self, one: Measured, would: Why, ends: tuple[Meets, Meets], shares: Mapping[FaceTag, float]) -> None:
        """SpecError for a part so short that nothing of it is left to be let in: no joint can be cut there."""
        for end in ends:
            into_mm = end.deep_mm + shares.get(end.tag, 0.0)
            if end.growth and into_mm < LEAST_INTO_MM:
                raise SpecError.at(
                    "as-cut-does-not-fit",
                    f"{one.part} is {self._show(one.why.value)} {_long(one.word)} as cut and would have to be {self._show(would.value)}:"
                    f" it does not reach into {end.growth[0].into}",
                    one.span,
                    change="make it again",
                )

    def _at(self, end: Meets, by_mm: float, ending: str) -> tuple[list[Clause], list[Clause]]:
        """What follows at one end, and what does not."""
        name, word = end.body.name, f"{end.body.direction_of(end.tag)} {ending}"
        out = f"{self._show(abs(by_mm))} further {'out' if by_mm > 0 else 'in'}"
        if end.free:
            text = f"its {word}, which meets nothing, lies {out}"
            return [Clause(name, text, text)], []
        if end.against:
            text = f"its {word} lies against {end.against[0]}{' and others' * (len(end.against) > 1)}, where nothing can follow"
            return [], [Clause(end.against[0], text, text)]
        moved: list[Clause] = []
        unfit: list[Clause] = []
        for one in end.growth:
            kind = _housing(one)
            problem = self._problem(end, one, by_mm)
            less_mm = max(one.slack_mm[0], 0.0 if problem is None else one.spare_mm)
            if -less_mm - ALIKE_MM <= by_mm <= one.slack_mm[1] + ALIKE_MM:
                moved.append(Clause(one.into, f"the {kind} in {{0}} has room for it", f"the {kind}s in {{0}} have room for it"))
            elif problem is not None:
                unfit.append(problem)
            else:
                assert one.depth is not None
                self.tray.followed.add((name, end.tag, one.into))
                depths = f"{self._show(one.depth.value + by_mm)} deep instead of {self._show(one.depth.value)}"
                moved.append(Clause(one.into, f"the {kind} in {{0}} is cut {depths}", f"the {kind}s in {{0}} are cut {depths}"))
        return moved, unfit

    def _problem(self, end: Meets, one: Growth, by_mm: float) -> Clause | None:
        """Why a housing cannot follow; None where it can."""
        kind = _housing(one)
        if one.into in end.made:
            return Clause(one.into, "{0} is cut already", "{0} are cut already")
        if one.depth is None:
            return Clause(one.into, f"the {kind} in {{0}} cannot be cut to suit", f"the {kind}s in {{0}} cannot be cut to suit")
        depth_mm, thickness_mm = one.depth.value + by_mm, end.thickness_mm[one.into]
        if depth_mm < LEAST_DEPTH_MM - PLAN_MM:
            would = f"would be only {self._show(depth_mm)} deep"
        elif depth_mm > thickness_mm - LEFT_MM + PLAN_MM:
            would = f"would be {self._show(depth_mm)} deep in wood {self._show(thickness_mm)} thick"
        else:
            return None
        return Clause(one.into, f"the {kind} in {{0}} {would}", f"the {kind}s in {{0}} {would}")

    def _show(self, mm: float) -> str:
        return show_length(round(mm, 3), self.units)


def misfit_told(misfit: Misfit, units: Units, instead: Callable[[Misfit], str]) -> Finding:
    """The error for a size that could not be followed. `instead` says which size of the spec would put it right."""
    one = misfit.measured
    shown, would, off = (show_length(round(mm, 3), units) for mm in (one.why.value, misfit.would.value, abs(misfit.off_mm)))
    again = f"saw {off} off it" if misfit.off_mm > 0 else "make it again"
    other = instead(misfit)
    return Finding(
        "as-cut-does-not-fit",
        Severity.error,
        f"{one.part} is {shown} {_long(one.word)} as cut and would have to be {would}: {misfit.cause}",
        _places(one),
        (one.part, *misfit.parts),
        numbers={"as_cut_mm": one.why.value, "would_be_mm": misfit.would.value},
        why="What is in sight stays where it is, so that the difference has nowhere to go.",
        change=again + (f"; or {other}" if other else ""),
    )


def reseated(features: Iterable[Feature], planned: Body, tray: Tray) -> list[Feature]:
    """The features of a part as cut: those that are cut into a face which lies out of its place go with it."""
    moved = [(planned.planes[tag], off.by_mm) for (name, tag), off in tray.off.items() if name == planned.name]
    if not moved:
        return list(features)
    found = []
    for feature in features:
        geometry = feature.geometry
        if not isinstance(geometry, Trim | Profile):
            frame = geometry.datum.frame
            for plane, by_mm in moved:
                if dot(plane.normal, frame.z) > 1 - 1e-9 and abs(plane.distance(frame.origin)) < PLAN_MM:
                    datum = Datum(replace(frame, origin=add(frame.origin, scale(plane.normal, by_mm))), geometry.datum.surface)
                    feature = replace(feature, geometry=replace(geometry, datum=datum))
        found.append(feature)
    return found


def _part_of(why: Why, by_mm: float) -> Why:
    if abs(by_mm - why.value) < 1e-9:
        return why
    how = "half of {0}" if abs(2 * by_mm - why.value) < 1e-9 else "its share of {0}"
    return Why(f"{why.what} at this end", by_mm, how, (why,), why.span)


def _housing(one: Growth) -> str:
    """What the receiver is cut with: a tongue goes into a groove."""
    kind = one.joint.split(" in ")[0]
    return "groove" if kind == "tongue" else kind


def _places(one: Measured) -> tuple[Place, ...]:
    return (Place(one.span, "as cut"),) if one.span is not None else ()


def _long(word: str) -> str:
    return {"length": "long", "width": "wide"}[word]


def said(clauses: Iterable[Clause]) -> str:
    """Clauses in one sentence, those that are alike told together."""
    alike: dict[tuple[str, str], list[str]] = {}
    for clause in clauses:
        alike.setdefault((clause.one, clause.many), []).append(clause.name)
    texts = []
    for (one, many), names in alike.items():
        *others, last = dict.fromkeys(names)
        texts.append(many.format(f"{', '.join(others)} and {last}") if others else one.format(last))
    return "; ".join(texts)
