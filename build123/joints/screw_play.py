"""Which screws of a row are tight, and how far the wood moves past the others."""

from __future__ import annotations

from build123.joints.joinery import Joinery
from build123.joints.screwed import Place, Play
from build123.model.body import DIRECTIONS
from build123.model.frame import Vec, cross, dot
from build123.model.why import Kind, Why
from build123.problem import SpecError, Text

ON_LINE_MM = 1.0
"""Screws this near to the fixed line are fixed."""


class Plays:
    """Which screws are fixed and how far the wood moves past the others."""

    def __init__(self, fixed: tuple[Text, ...] | None, at: Joinery, screws: list[Place]) -> None:
        self._at = at
        self._lines: dict[tuple[str, Vec], tuple[Vec, float]] = {}
        if fixed is not None and screws:
            self._find(fixed, screws)

    def _find(self, fixed: tuple[Text, ...], screws: list[Place]) -> None:
        words = {*DIRECTIONS, "middle"}
        word = str(fixed[0]) if len(fixed) == 1 and str(fixed[0]) in words else None
        names = {name for named in self._at.parts(fixed) for name in named.parts} if word is None else set()
        strange = sorted(names - {one.met.member for one in screws})
        if strange:
            raise SpecError.at(
                "bad-screw",
                f"no screw of these goes through {strange[0]}",
                fixed[0].span,
                change="name one of the `through` parts, or a side of the row",
            )
        for whole in dict.fromkeys(self._whole(one) for one in screws):
            mine = [one for one in screws if self._whole(one) == whole]
            along = self._moves_along(mine)
            spots = [dot(one.at, along) for one in mine]
            if word is None:
                line = self._line_of(names, mine, along, fixed[0])
            elif word == "middle":
                centre = (min(spots) + max(spots)) / 2
                line = min(spots, key=lambda s: (round(abs(s - centre), 6), s))
            else:
                towards = dot(self._at.ways[word], along)
                if abs(towards) < 0.7:
                    raise SpecError.at(
                        "bad-screw",
                        f"the wood moves {self._way(along)}; it cannot be held at the {word}",
                        fixed[0].span,
                        change="name a side that it moves towards, or `middle`",
                    )
                line = max(spots) if towards > 0 else min(spots)
            self._lines[whole] = (along, line)

    def _whole(self, one: Place) -> tuple[str, Vec]:
        """What moves as one: the receiver, or what it is made up to with others whose grain runs the same way."""
        x, y, z = (round(abs(c), 6) for c in self._at.grain(one.met.receiver))
        return self._at.made_up.get(one.met.receiver, one.met.receiver), (x, y, z)

    def _line_of(self, names: set[str], mine: list[Place], along: Vec, said: Text) -> float:
        """The line of the parts that are named: where a screw of theirs is nearest to their middle."""
        held = {name: [dot(one.at, along) for one in mine if one.met.member == name] for name in sorted(names)}
        middles = {name: sum(spots) / len(spots) for name, spots in held.items() if spots}
        if not middles:
            return min(dot(one.at, along) for one in mine)
        first, last = min(middles, key=lambda n: middles[n]), max(middles, key=lambda n: middles[n])
        if middles[last] - middles[first] > ON_LINE_MM:
            raise SpecError.at(
                "bad-screw",
                f"{first} and {last} are not in one line {self._way(along)}, so the wood could not move between them",
                said.span,
                change="name one of them: the screws of the other get room to move",
            )
        return min(held[first], key=lambda s: (round(abs(s - middles[first]), 6), s))

    def _way(self, along: Vec) -> str:
        k = max(range(3), key=lambda i: abs(dot(along, self._at.ways[("right", "back", "top")[i]])))
        return ("from left to right", "from front to back", "up and down")[k]

    def _moves_along(self, screws: list[Place]) -> Vec:
        """The direction in the touching faces in which the two parts move most against each other."""
        one = screws[0]
        ways = (one.strip.along, cross(one.axis, one.strip.along))
        return max(ways, key=lambda way: round(abs(self._apart(one, way)), 12))

    def _apart(self, one: Place, way: Vec) -> float:
        """How much one mm of the two parts moves against each other in a year."""
        a, b = one.met.receiver, one.met.member
        return self._at.stock[a].moves_along(self._at.grain(a), way) - self._at.stock[b].moves_along(self._at.grain(b), way)

    def of(self, one: Place) -> Play:
        """The play that a screw needs each way."""
        if self._whole(one) not in self._lines:
            return Play(one.strip.along, Why("play", 0.0, default="tight"))
        along, line = self._lines[self._whole(one)]
        off = abs(dot(one.at, along) - line)
        if off <= ON_LINE_MM:
            return Play(along, Why("play", 0.0, "at the fixed line", span=self._at.span))
        stocks = self._at.stock
        moves = tuple(why for name in (one.met.receiver, one.met.member) if (why := stocks[name].moves) is not None)
        need = off * abs(self._apart(one, along))
        distance = Why("from the fixed line", off, span=self._at.span)
        how = "{0} from the fixed line, × the movement of each mm in a year, {1}" + (" less {2}" if len(moves) > 1 else "")
        return Play(along, Why("play each way", need, how, (distance, *moves), self._at.span, kind=Kind.length))
