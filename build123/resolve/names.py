"""What a name in the spec stands for."""

from __future__ import annotations

from dataclasses import dataclass, field

from build123.fields.ast import Names
from build123.fields.words import suggestion
from build123.joints.joinery import Named
from build123.problem import SpecError, Text
from build123.resolve.scope import Declared, Scope


@dataclass
class NameTable:
    """The names that may be used in one scope, relative to it. A list stands for a pair, a run or a made-up part."""

    single: dict[str, Declared] = field(default_factory=dict)
    several: dict[str, list[Declared]] = field(default_factory=dict)
    rows: set[str] = field(default_factory=set)

    def bodies(self) -> frozenset[str]:
        """All names of parts, pairs and runs."""
        return frozenset(self.single) | frozenset(self.several)

    def refer(self, text: Text) -> Named:
        """The parts that a joint names. SpecError `unknown-part` with a suggestion."""
        name = " ".join(text.split())
        if name in self.single:
            return Named(text, (self.single[name].name,), True)
        if name in self.several:
            return Named(text, tuple(d.name for d in self.several[name]), False, name in self.rows)
        raise unknown_part(name, self.bodies(), text)

    def one(self, name: str, text: Text) -> Declared:
        """The single part that an extent names. SpecError when it is a run or unknown."""
        if name in self.single:
            return self.single[name]
        if name in self.several:
            members = [d.local for d in self.several[name]]
            listed = ", ".join(members[:4]) + (", ..." if len(members) > 4 else "")
            raise SpecError.at("run-for-one", f"{name!r} stands for {len(members)} parts, and one is wanted here: {listed}", text.span)
        raise unknown_part(name, self.bodies(), text)


def unknown_part(name: str, known: frozenset[str], text: Text) -> SpecError:
    """The finding for a name that no part has."""
    near = suggestion(name, known)
    return SpecError.at(
        "unknown-part",
        f"there is no part {name!r}{near}",
        text.span,
        change="" if near or not known else "parts here: " + ", ".join(sorted(known)[:12]) + (", ..." if len(known) > 12 else ""),
    )


def table_of(scope: Scope) -> NameTable:
    """The names of a scope: its own parts, and those of placed assemblies as "P of A"."""
    table = NameTable(dict(scope.parts))
    for name, locals_ in scope.groups.items():
        if name not in scope.parts:
            table.several[name] = [scope.parts[local] for local in locals_]
    for child in scope.children:
        inner = table_of(child)
        family = str(child.place_key)
        for name, one in inner.single.items():
            table.single[f"{name} of {child.label}"] = one
            if child.label != family:
                table.several.setdefault(f"{name} of {family}", []).append(one)
                table.rows.add(f"{name} of {family}")
        for name, many in inner.several.items():
            table.several.setdefault(f"{name} of {child.label}", []).extend(many)
            if child.label != family:
                table.several.setdefault(f"{name} of {family}", []).extend(many)
                table.rows.add(f"{name} of {family}")
    for name, texts in scope.group.made_up.items():
        found: list[Declared] = []
        for text in texts:
            key = " ".join(text.split())
            if key in table.single:
                found.append(table.single[key])
            elif key in table.several:
                found.extend(table.several[key])
            else:
                raise unknown_part(key, table.bodies(), text)
        table.several[str(name)] = found
    return table


def names_in(scope: Scope, table: NameTable, stocks: frozenset[str]) -> Names:
    """What an expression in a scope may name."""
    values = set(stocks)
    at: Scope | None = scope
    while at is not None:
        values |= {str(s) for s in at.group.sizes}
        at = at.outer
    return Names(frozenset(values), table.bodies())
