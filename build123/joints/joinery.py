"""The bench that a joint works at: the bodies, the spec's values, and trays for what the joint makes.

Everything here is in the frame of the piece. The resolver turns it into bench coordinates of each part.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from build123.fields.show import show_length
from build123.model.body import DIRECTIONS, Body, FaceTag, Touching, apart, touching
from build123.model.design import Expect, Joint, JointSize
from build123.model.feature import Feature
from build123.model.frame import Box, Vec, dot
from build123.model.part import Hardware, Stock
from build123.model.why import Kind, Why
from build123.problem import Findings, Span, SpecError, Text

SHORT_MM = 20.0
"""A part that stops this near to one that its joint names was meant to meet it (judgement: about a panel's thickness)."""


def _opposite(a: Box, b: Box, way: str) -> bool:
    """Whether two boxes lie over one another when looked at along a direction."""
    along = max(range(3), key=lambda k: abs(DIRECTIONS[way][k]))
    return all(min(a.high[k], b.high[k]) - max(a.low[k], b.low[k]) > 1.0 for k in range(3) if k != along)


@dataclass(frozen=True, slots=True)
class Named:
    """A reference of a joint with the parts it stands for.

    `single` when it names one part, which must meet then. `row` when it names a part of every assembly in a row: of those
    only one need meet, since the ends of a row have no neighbour.
    """

    text: Text
    parts: tuple[str, ...]
    single: bool
    row: bool = False


@dataclass(frozen=True, slots=True)
class Meeting:
    """A member and a receiver that meet. `touch` has the member as `a`, so its normal looks at the member."""

    member: str
    receiver: str
    touch: Touching


@dataclass(frozen=True, slots=True)
class Growth:
    """An end moved outwards by a joint.

    `depth` is that of the housing it goes into, None where there is none that could be cut deeper or shallower. `slack_mm` is
    how much less and how much more it may go in while the depth stays; `spare_mm` how much less where it bears on a shoulder all
    the same, in a housing that is cut already.
    """

    by: Why
    into: str
    joint: str
    depth: Why | None = None
    slack_mm: tuple[float, float] = (0.0, 0.0)
    spare_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Off:
    """How far an end of a part as cut lies out of its place, mm outwards along its normal; `why` has the same without its sign."""

    by_mm: float
    why: Why

    def added(self, to: Why, member: str) -> Why:
        """A depth with this added."""
        how = f"{{0}} {'+' if self.by_mm > 0 else '-'} {{1}}, as {member} is cut"
        return Why(to.what, to.value + self.by_mm, how, (to, self.why), self.why.span)


@dataclass(frozen=True, slots=True)
class Clearance:
    """A fit looked up: what is cut and what is accepted, mm, both sides together."""

    name: str
    why: Why
    low_mm: float
    high_mm: float


@dataclass
class Tray:
    """What the joints have made so far, for the whole piece.

    `made` are the parts that are cut already. `off` are their ends that lie out of place, `followed` the member, its end and the
    receiver where a housing is cut deeper or shallower for that.
    """

    growth: dict[tuple[str, FaceTag], list[Growth]] = field(default_factory=dict)
    features: dict[str, list[Feature]] = field(default_factory=dict)
    joints: list[Joint] = field(default_factory=list)
    hardware: list[Hardware] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    made: set[str] = field(default_factory=set)
    off: dict[tuple[str, FaceTag], Off] = field(default_factory=dict)
    followed: set[tuple[str, FaceTag, str]] = field(default_factory=set)


@dataclass
class Joinery:
    """One entry's view of the piece.

    `made_up` tells what a part is made up to with others. `ways` tells where left, front, top and so on look to in the piece as this entry means them: in a placed assembly they turn with it.
    """

    key: str
    span: Span | None
    units: Literal["mm", "in"]
    findings: Findings
    tray: Tray
    sight: Mapping[str, Body]
    stock: Mapping[str, Stock]
    refer: Callable[[Text], Named]
    evaluate: Callable[[Text], Why]
    count: Callable[[Text], int]
    fits: Callable[[Text], Clearance]
    grain_axis: Callable[[str, Body], Vec]
    scope_parts: tuple[str, ...] = ()
    made_up: Mapping[str, str] = field(default_factory=dict)
    ways: Mapping[str, Vec] = field(default_factory=lambda: DIRECTIONS)
    _planned: dict[str, Body] = field(default_factory=dict)

    def planned(self, name: str) -> Body:
        """A body with all the ends moved that joints move. Only to be asked for once all entries have grown."""
        if name not in self._planned:
            body = self.sight[name]
            for face in body.planes:
                by = max((g.by.value for g in self.tray.growth.get((name, face), [])), default=0.0)
                if by:
                    body = body.moved(face, by)
            self._planned[name] = body
        return self._planned[name]

    def grown(self, name: str) -> Body:
        """The same as it is made: the ends of a part as cut lie where they came out."""
        body = self.planned(name)
        for face in body.planes if name in self.tray.made else ():
            if off := self.tray.off.get((name, face)):
                body = body.moved(face, off.by_mm)
        return body

    def off(self, name: str, direction: Vec) -> Off | None:
        """How far the end that looks to a direction lies out of its place; None where it is in it."""
        return self.tray.off.get((name, self.sight[name].looking(direction))) if name in self.tray.made else None

    def as_made(self, one: Meeting, depth: Why, into: Why) -> tuple[Why, Why]:
        """The depth of a housing and how far its member goes in, as they are for a member as cut."""
        off = self.tray.off.get((one.member, one.touch.a_face))
        if off is None:
            return depth, into
        follows = (one.member, one.touch.a_face, one.receiver) in self.tray.followed
        return off.added(depth, one.member) if follows else depth, off.added(into, one.member)

    def grain(self, name: str) -> Vec:
        """The direction in the piece that the grain of a part runs along."""
        return self.grain_axis(name, self.grown(name))

    def let_in_mm(self, one: Meeting) -> float:
        """How far the receiver of a fastening goes into the part that is fastened to it, by a housing of its own: 0 for bare faces."""
        return max(0.0, -self.grown(one.receiver).planes[one.touch.b_face].distance(one.touch.region[0]))

    def fellows(self, part: str) -> tuple[str, ...]:
        """The parts of the same assembly or piece, that part among them."""
        return self.scope_parts or tuple(self.sight)

    def word_for(self, direction: Vec) -> str:
        """The word of this entry for where something looks to."""
        return max(self.ways, key=lambda w: round(dot(self.ways[w], direction), 9))

    def length(self, text: Text | None, what: str, default_mm: float | None = None, source: str = "common practice") -> Why:
        """A length of the entry, mm; `default_mm` with its source where the spec leaves it out."""
        if text is None:
            if default_mm is None:
                raise SpecError.at("key-missing", f"this {self.key} needs its {what}", self.span)
            return Why(what, default_mm, default=source)
        why = self.evaluate(text)
        return Why(what, why.value, why.how, why.of, why.span, kind=Kind.length)

    def parts(self, refs: tuple[Text, ...]) -> list[Named]:
        """References resolved; those that name nothing are reported and left out."""
        found = []
        for text in refs:
            try:
                found.append(self.refer(text))
            except SpecError as error:
                self.findings.add(error.finding)
        return found

    def meetings(self, members: list[Named], receivers: list[Named], member_word: str, receiver_word: str) -> list[Meeting]:
        """Every pair that lies against each other.

        A part named singly must meet, a member of a pair or run must meet at least once, and there must be one meeting at
        all; what does not is reported with how far apart it is.
        """
        met: list[Meeting] = []
        used: set[str] = set()
        seen: set[tuple[str, str]] = set()
        for one in members:
            for other in receivers:
                for a in one.parts:
                    for b in other.parts:
                        if a == b or (a, b) in seen:
                            continue
                        shared = touching(self.sight[a], self.sight[b])
                        if shared:
                            seen.add((a, b))
                            met.append(Meeting(a, b, shared[0]))
                            used |= {a, b}
        missing = False
        reported: set[frozenset[str]] = set()
        for side, others, word in ((members, receivers, receiver_word), (receivers, members, member_word)):
            for named in side:
                lacking = [name for name in named.parts if name not in used]
                if not lacking or not any(o.parts for o in others) or (named.row and len(lacking) < len(named.parts)):
                    continue
                missing = True
                self._report_apart(named, lacking, others, word, reported)
        self._report_short(met, members, receivers)
        if not met and not missing and members and receivers:
            self.findings.error("joint-joins-nothing", f"this {self.key} joins nothing: no two of the parts it names meet", self.span)
        return met

    def _report_apart(self, named: Named, lacking: list[str], others: list[Named], word: str, reported: set[frozenset[str]]) -> None:
        """One finding for a reference, and none where its nearest part has been told to be apart from it already."""
        name = lacking[0]
        all_others = [o for other in others for o in other.parts if o != name]
        if not all_others:
            self.findings.error("joint-parts-apart", f"{name} cannot be joined to itself", named.text.span, self.span)
            return
        nearest = min(all_others, key=lambda o: (apart(self.sight[name], self.sight[o])[0], o))
        if frozenset({name, nearest}) in reported:
            return
        reported |= {frozenset({one, nearest}) for one in lacking} | {frozenset({name, other}) for other in all_others}
        gap, way = apart(self.sight[name], self.sight[nearest])
        more = "" if len(lacking) == 1 else f" (nor do {len(lacking) - 1} more of {named.text})"
        if gap:
            place = {
                "top": "above",
                "bottom": "below",
                "left": "to the left of",
                "right": "to the right of",
                "front": "in front of",
                "back": "behind",
            }[way]
            lie = f"{nearest} lies {show_length(gap, self.units)} {place} it"
        else:
            lie = f"{nearest} is the nearest, and their bodies run into each other or meet only at an edge"
        self.findings.error(
            "joint-parts-apart",
            f"{name} does not meet {'any ' + word if len(all_others) > 1 else nearest}{more}: {lie}",
            named.text.span,
            label=f"{name} is named here",
            change=f"let {name} run up to the face of {nearest}, or take it out of this {self.key}",
            parts=(name, nearest),
        )

    def _report_short(self, met: list[Meeting], members: list[Named], receivers: list[Named]) -> None:
        """A part that meets one of the parts it is joined to and stops just short of another."""
        ends = {(one.member, one.touch.a_face) for one in met} | {(one.receiver, one.touch.b_face) for one in met}
        joined = {frozenset({one.member, one.receiver}) for one in met}
        used = {name for pair in joined for name in pair}
        for a in dict.fromkeys(name for named in members for name in named.parts if name in used):
            for b in dict.fromkeys(name for named in receivers for name in named.parts if name in used and name != a):
                gap, way = apart(self.sight[a], self.sight[b])
                if frozenset({a, b}) in joined or not 0 < gap <= SHORT_MM or not _opposite(self.sight[a].box, self.sight[b].box, way):
                    continue
                if (a, self.sight[a].looking(DIRECTIONS[way])) in ends:
                    continue
                self.findings.error(
                    "joint-parts-apart",
                    f"{a} stops {show_length(gap, self.units)} short of {b}, which this {self.key} joins it to",
                    self.span,
                    change=f"let {a} run up to the face of {b}, or name only the parts that it meets",
                    parts=(a, b),
                )

    def report_count(self, met: list[Meeting]) -> None:
        """Keep a line that says how many pairs the entry joins."""
        if met:
            receivers = sorted({m.receiver for m in met})
            self.tray.notes.append(
                f"{self.key}: {len(met)} {'joint' if len(met) == 1 else 'joints'} in {len(receivers)} part{'s' * (len(receivers) > 1)}"
            )

    def joint_id(self, member: str, receiver: str, word: str = "in") -> str:
        """A readable id that is unique in the piece."""
        base = f"{self.key}: {member} {word} {receiver}"
        taken = sum(1 for j in self.tray.joints if j.id == base or j.id.startswith(base + " ("))
        return base if not taken else f"{base} ({taken + 1})"

    def grow(
        self,
        member: str,
        face: FaceTag,
        by: Why,
        into: str,
        joint: str,
        depth: Why | None = None,
        slack_mm: tuple[float, float] = (0.0, 0.0),
        spare_mm: float = 0.0,
    ) -> None:
        """Move an end of a member outwards. Two joints must agree on one end. What comes last is as in `Growth`."""
        for other in self.tray.growth.get((member, face), []):
            if abs(other.by.value - by.value) > 1e-9:
                self.findings.error(
                    "end-grown-twice",
                    f"the {self.sight[member].direction_of(face)} end of {member} would go {other.by.value:.4g} mm into {other.into}"
                    f" and {by.value:.4g} mm into {into}",
                    by.span or self.span,
                    other.by.span,
                    change="give both joints the same depth",
                    parts=(member,),
                )
                return
        self.tray.growth.setdefault((member, face), []).append(Growth(by, into, joint, depth, slack_mm, spare_mm))

    def feature(self, part: str, feature: Feature) -> None:
        """Cut a feature into a part (geometry in the piece's frame)."""
        self.tray.features.setdefault(part, []).append(feature)

    def joint(
        self,
        id: str,
        met: Meeting,
        expects: list[Expect],
        sizes: list[Why],
        opens: Vec | None,
        rests: bool = False,
    ) -> None:
        """Keep a finished joint."""
        self.tray.joints.append(
            Joint(
                id,
                self.key,
                met.member,
                met.receiver,
                opens,
                tuple(expects),
                tuple(JointSize(w.what, w) for w in sizes),
                rests,
                self.span,
            )
        )
