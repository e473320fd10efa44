"""From a spec to a design: names, layout, joints, bench, in that order."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import Literal, TypeVar

from build123.fields.words import name_problem
from build123.joints import JointEntry
from build123.joints.joinery import Joinery, Meeting, Named, Tray
from build123.model.body import DIRECTIONS, FACES, Body, FaceTag
from build123.model.design import Design, Shop, Size, Waiver
from build123.model.frame import Box, Vec
from build123.model.part import Stock
from build123.model.slugs import slug
from build123.model.why import Why
from build123.problem import Findings, SpecError, Text
from build123.resolve.as_cut import read_as_cut
from build123.resolve.bench import Bench, Sawn
from build123.resolve.bought import hardware_of
from build123.resolve.climates import climate_of, moves_of
from build123.resolve.collected import Collected
from build123.resolve.faces import grain_axis, shown_face
from build123.resolve.following import misfit_told, reseated
from build123.resolve.layout import Layout
from build123.resolve.sawing import Sawing
from build123.resolve.scope import Declared, Expander, Scope
from build123.resolve.shop import shop_of
from build123.resolve.stocks import THINNEST_MM, Fits, bounded, stock_of
from build123.resolve.what_if import Outcome, WhatIf
from build123.shapes import ShapeEntry
from build123.spec.piece import Spec

E = TypeVar("E")


def resolve(spec: Spec) -> tuple[Design | None, Findings]:
    """A design, or None with every finding that could be told. A design has errors only where something as cut does not fit."""
    made, found = _resolve(spec)
    if made is None:
        return None, found
    collected = Collected()
    what_if = WhatIf(spec, made, lambda other: _resolve(other)[0])
    for misfit in made.misfits:
        collected.add(misfit_told(misfit, made.design.units, what_if.instead))
    found.extend(collected.told())
    return made.design, found


def _resolve(spec: Spec) -> tuple[Outcome | None, Findings]:
    told = Collected()
    units: Literal["mm", "in"] = "in" if spec.units == "in" else "mm"
    _names(spec, told)
    layout = Layout(units, {str(k): (k if isinstance(k, Text) else Text(k), v) for k, v in spec.frames.items()}, {})
    root = Scope("", spec)
    for name, entry in spec.stock.items():
        layout.stock_thickness[str(name)] = _thickness(layout, root, str(name), entry.thickness)
    expander = Expander(spec.assembly_groups(), layout.count, told.findings)
    expander.expand(root)
    for scope in root.walk():
        for name in scope.group.sizes:
            told.attempt(lambda s=scope, n=str(name): layout.size(s, n, None))  # type: ignore[misc]
    climate = told.attempt(lambda: climate_of(spec.climate))
    stocks: dict[str, Stock] = {}
    for name, entry in spec.stock.items():
        made = told.attempt(lambda n=str(name), e=entry: stock_of(n, e, layout, root))  # type: ignore[misc]
        if made is not None:
            stocks[str(name)] = made if climate is None else replace(made, moves=moves_of(made, climate))
    fits = Fits(spec, layout, root)
    for name in spec.fits:
        told.attempt(lambda n=name: fits.find(n if isinstance(n, Text) else Text(n)))  # type: ignore[misc]
    shop = told.attempt(lambda: shop_of(spec.shop, layout, root))
    bodies: dict[str, tuple[Declared, Body]] = {}
    for one in root.declared():
        body = told.attempt(lambda o=one: layout.body(o))  # type: ignore[misc]
        if body is not None:
            bodies[one.name] = (one, body)
            continue
        if one.entry.stock is not None:
            told.attempt(lambda o=one: layout.thickness(o))  # type: ignore[misc]
        for tag in FACES:
            told.attempt(lambda o=one, t=tag: layout.end(o, t))  # type: ignore[misc]
    for one, body in bodies.values():
        if one.entry.stock is not None:
            told.attempt(lambda o=one, b=body: (grain_axis(o, b), shown_face(o, b, (0.0, 0.0, 0.0), layout.ways(o.scope))))  # type: ignore[misc]
    _names_of_waivers(spec, root, layout, told)
    measured = read_as_cut(_texts(spec.as_cut), layout, root, bodies, told.findings) if _all_expanded(root) else {}
    if not any(True for _ in root.declared()) and not told.findings.failed:
        told.findings.error("no-parts", "this piece has no parts", spec.piece.span, change="name its parts under `parts:`")
    if told.findings.failed:
        for scope in root.walk():
            _names_of_joints(scope, layout, told)
        return None, told.told()
    sawing = Sawing(layout, bodies, stocks, Tray(), measured)
    _join(root, sawing, fits, told)
    if told.findings.failed:
        return None, told.told()
    assert shop is not None
    design = replace(_design(spec, root, sawing, shop), climate=climate)
    return Outcome(design, sawing.would, tuple(sawing.misfits)), told.told()


def _thickness(layout: Layout, root: Scope, name: str, text: Text) -> Callable:  # type: ignore[type-arg]
    from build123.fields.quantity import Dim, Quantity

    def make() -> Quantity:
        found = layout.length(root, text)
        bounded(float(found.value), f"thickness of {name}", THINNEST_MM, layout.units, text)
        return Quantity(found.value, Dim.length, Why(f"thickness of {name}", float(found.value), found.why.how, found.why.of, text.span))

    return make


def _names(spec: Spec, told: Collected) -> None:
    """Names that could not be used or told apart."""
    groups = [("the piece", spec), *((f"the assembly {name}", g) for name, g in spec.assembly_groups().items())]
    declared: list[tuple[str, Text]] = []
    for where, group in groups:
        taken: dict[str, tuple[str, Text]] = {}
        for word, names in (
            ("size", group.sizes),
            ("part", group.parts),
            ("placed assembly", group.place),
            ("made-up part", group.made_up),
        ):
            for name in names:
                text = name if isinstance(name, Text) else Text(name)
                declared.append((word, text))
                key = " ".join(text.split())
                if key in taken and word != "placed assembly":
                    told.findings.error(
                        "two-of-one-name",
                        f"{where} has a {taken[key][0]} and a {word} that are both called {key!r}",
                        text.span,
                        taken[key][1].span,
                    )
                taken.setdefault(key, (word, text))
    tables: list[tuple[str, list[Text]]] = [
        ("stock", list(spec.stock)),
        ("frame", list(spec.frames)),
        ("fit", list(spec.fits)),
        ("assembly", list(spec.assembly_groups())),
    ]
    declared += [(word, name) for word, table in tables for name in table]
    for word, text in declared:
        problem = name_problem(text)
        if problem and not (word == "part" and text in DIRECTIONS):
            told.findings.error("bad-name", f"a {word} cannot be called {str(text)!r}: {problem}", text.span)


def _entries(scope: Scope) -> Iterator[JointEntry | ShapeEntry]:
    yield from scope.group.joint_entries()
    yield from scope.group.shape_entries()


def _names_of_joints(scope: Scope, layout: Layout, told: Collected) -> None:
    """Where the layout failed: at least the names in joints are looked up, so that all slips are told at once."""
    table = told.attempt(lambda: layout.table(scope))
    if table is None:
        return
    if not _all_expanded(scope):
        return
    for entry in _entries(scope):
        for name in ("of", "in_", "to", "upon", "through", "into"):
            named = getattr(entry, name, None)
            for text in named if isinstance(named, tuple) else ():
                told.attempt(lambda t=text: table.refer(t))  # type: ignore[misc]


def _all_expanded(scope: Scope) -> bool:
    """Whether all names of a scope's parts are known."""
    return {str(k) for k in scope.group.parts} <= {str(d.key) for d in scope.parts.values()}


def _names_of_waivers(spec: Spec, root: Scope, layout: Layout, told: Collected) -> None:
    if not _all_expanded(root):
        return
    for waiver in spec.waivers:
        for text in waiver.parts:
            told.attempt(lambda t=text: layout.table(root).refer(t))  # type: ignore[misc]


def _texts(entries: Mapping[Text, E]) -> Iterator[tuple[Text, E]]:
    for name, entry in entries.items():
        yield (name if isinstance(name, Text) else Text(name)), entry


def _join(root: Scope, sawing: Sawing, fits: Fits, told: Collected) -> None:
    layout, bodies, tray = sawing.layout, sawing.bodies, sawing.tray
    sight = {name: body for name, (_, body) in bodies.items()}
    stock = {name: sawing.stock(name) for name, (one, _) in bodies.items() if one.entry.stock is not None}
    made_up = _wholes(root, layout)
    work: list[tuple[JointEntry, Joinery, list[Meeting]]] = []
    shaped: list[tuple[ShapeEntry, Joinery]] = []
    for scope in root.walk():
        table = told.attempt(lambda s=scope: layout.table(s))  # type: ignore[misc]
        if table is None:
            continue
        ways = layout.ways(scope)
        for entry in _entries(scope):

            def evaluate(text: Text, scope: Scope = scope) -> Why:
                found = layout.length(scope, text)
                return Why("", float(found.value), found.why.how, found.why.of, text.span)

            def count(text: Text, scope: Scope = scope) -> int:
                return layout.count(scope, text)

            def grain(name: str, body: Body) -> Vec:
                return body.axis(grain_axis(sawing.bodies[name][0], body))

            at = Joinery(
                entry.KEY, entry.span, layout.units, told.findings, tray, sight, stock, _referring(table, bodies), evaluate, count, fits.find, grain,
                tuple(one.name for one in scope.declared() if one.name in sight), made_up, ways,
            )  # fmt: skip
            if isinstance(entry, JointEntry):
                met = told.attempt(lambda e=entry, a=at: e.meet(a)) or []  # type: ignore[misc]
                work.append((entry, at, met))
            else:
                shaped.append((entry, at))
    _collisions(work, told)
    for entry, at, met in work:
        told.attempt(lambda e=entry, a=at, m=met: e.grow(a, m))  # type: ignore[misc]
    sawing.take_as_cut(sight, stock, told)
    for entry, at, met in work:
        told.attempt(lambda e=entry, a=at, m=met: e.cut(a, m))  # type: ignore[misc]
    for shape, at in shaped:
        for named in at.parts(shape.of):
            for part in named.parts:
                told.attempt(lambda s=shape, a=at, p=part: s.cut(a, p))  # type: ignore[misc]


def _collisions(work: list[tuple[JointEntry, Joinery, list[Meeting]]], told: Collected) -> None:
    """Two joints on the same two faces, one of which lets the member in."""
    taken: dict[frozenset[tuple[str, FaceTag]], JointEntry] = {}
    for entry, _, met in work:
        for one in met:
            faces = frozenset({(one.member, one.touch.a_face), (one.receiver, one.touch.b_face)})
            other = taken.setdefault(faces, entry)
            if other is not entry and (entry.HOUSES or other.HOUSES) and not (entry.FASTENS or other.FASTENS):
                told.findings.error(
                    "joints-collide",
                    f"{one.member} and {one.receiver} are joined twice on the same faces, by a {other.KEY} and by {entry.KEY}",
                    entry.span,
                    other.span,
                    change="keep one of them: a housing is glued by itself",
                    parts=(one.member, one.receiver),
                )


def _referring(table: object, bodies: dict[str, tuple[Declared, Body]]) -> Callable[[Text], Named]:
    from build123.resolve.names import NameTable

    assert isinstance(table, NameTable)
    known = table

    def refer(text: Text) -> Named:
        named = known.refer(text)
        hardware = [p for p in named.parts if bodies[p][0].entry.stock is None]
        if hardware:
            raise SpecError.at("hardware-in-joint", f"{hardware[0]} is hardware; only what is made of stock can be joined", text.span)
        return named

    return refer


def _wholes(root: Scope, layout: Layout) -> dict[str, str]:
    """What each part is made up to with others, where it is."""
    return {one.name: name for scope in root.walk() for name, group in _made_up(scope, layout) for one in group}


def _design(spec: Spec, root: Scope, sawing: Sawing, shop: Shop) -> Design:
    layout, bodies, tray = sawing.layout, sawing.bodies, sawing.tray
    made_up = _wholes(root, layout)
    middles: dict[int, Vec] = {}
    for scope in root.walk():
        corners = [p for one in scope.declared() for p in bodies[one.name][1].all_corners()]
        middles[id(scope)] = Box.around(corners).middle if corners else (0.0, 0.0, 0.0)
    bench = Bench()
    hardware = list(tray.hardware)
    groups: dict[str, list[str]] = {}
    for name, (one, body) in bodies.items():
        if one.entry.stock is None:
            hardware.append(hardware_of(one, body))
            continue
        planned = sawing.planned(name)
        bench.lay(
            Sawn(
                name,
                str(one.key),
                one.scope.path,
                made_up.get(name, ""),
                one.entry.loose is not None and one.entry.loose.lower() in ("yes", "true"),
                sawing.stock(name),
                sawing.real(name),
                grain_axis(one, planned),
                shown_face(one, body, middles[id(one.scope)], layout.ways(one.scope)),
                {tag: layout.end(one, tag).why for tag in FACES},
                sawing.finished(name),
                tuple(sawing.measured.get(name, ())),
                reseated(tray.features.get(name, []), planned, tray),
                one.key.span,
            )
        )
        if len(one.scope.parts) and (one.index is not None or one.entry.pair is not None):
            groups.setdefault(one.scope.full(str(one.key)), []).append(name)
    waivers = tuple(
        Waiver(str(w.finding), tuple(p for t in w.parts for p in layout.table(root).refer(t).parts), str(w.reason), w.span)
        for w in spec.waivers
    )
    return Design(
        str(spec.piece),
        slug(str(spec.piece), "piece"),
        layout.units,
        bench.parts(),
        tuple(hardware),
        tuple(tray.joints),
        tuple(sawing.stocks.values()),
        tuple(Size(n, layout.shown_size(root, n)) for n in map(str, spec.sizes)),
        waivers,
        tuple(tray.notes),
        {k: tuple(v) for k, v in groups.items()},
        shop,
        span=spec.piece.span,
    )


def _made_up(scope: Scope, layout: Layout) -> Iterator[tuple[str, list[Declared]]]:
    table = layout.table(scope)
    for name in scope.group.made_up:
        yield scope.full(str(name)), table.several[str(name)]
