"""How damp wood gets in a room, and how much it moves for that."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from build123.trade.tables import Row, Species, panels, rows, rules, table
from build123.trade.woods import Meant, Rings, panel_meant, woods_meant

USUAL_CLIMATE = "heated house"
"""What a piece is made for where its spec does not say."""


@dataclass(frozen=True, slots=True)
class Climate:
    """Where a piece stands: the lowest and highest relative humidity of a year, %, at a temperature, degrees Celsius."""

    name: str
    humidity_low_pct: float
    humidity_high_pct: float
    temperature_c: float
    note: str
    source: str
    confidence: str

    @property
    def moisture_pct(self) -> tuple[float, float]:
        """Moisture content of wood at the driest and at the dampest of the year, % of its dry weight."""
        return emc_pct(self.temperature_c, self.humidity_low_pct), emc_pct(self.temperature_c, self.humidity_high_pct)

    @property
    def change_pct(self) -> float:
        """Points of moisture content between the two."""
        dry, damp = self.moisture_pct
        return damp - dry


@dataclass(frozen=True, slots=True)
class Movement:
    """How much a material moves: `per_pct` is the share of its width for one point of moisture content.

    `confidence` is "confirmed" only where the material itself is in the table.
    """

    per_pct: float
    source: str
    confidence: str


@cache
def climates() -> Mapping[str, Climate]:
    """Climates by name, the usual one first."""

    def made(row: Row) -> Climate:
        numbers = (float(row["humidity_low_pct"]), float(row["humidity_high_pct"]), float(row["temperature_c"]))
        return Climate(row["climate"], *numbers, row["note"], row["source"], row["confidence"])

    return table("climate", "climate", made)


def emc_pct(temperature_c: float, humidity_pct: float) -> float:
    """Moisture content that wood settles at, % of its dry weight. ValueError outside 0 to under 100 % relative humidity.

    FPL Wood Handbook FPL-GTR-282 Eq. 4-5.
    """
    if not 0 <= humidity_pct < 100:
        raise ValueError(f"a relative humidity of {humidity_pct:g} % is not from 0 to under 100 %")
    at = {name: zero + temperature_c * (rise + temperature_c * bend) for name, (zero, rise, bend) in _constants().items()}
    damp = at["K"] * humidity_pct / 100
    first = at["K1"] * damp
    second = first * at["K2"] * damp
    return 1800 / at["W"] * (damp / (1 - damp) + (first + 2 * second) / (1 + first + second))


@cache
def _constants() -> Mapping[str, tuple[float, float, float]]:
    return {row["constant"]: (float(row["at_zero"]), float(row["per_deg"]), float(row["per_deg2"])) for row in rows("emc")}


def movement_mm(width_mm: float, per_pct: float, change_pct: float) -> float:
    """Change of a width for a change of moisture content in points, both of one sign (FPL-GTR-190 ch. 13, coefficient method).

    The coefficients hold from 6 to 14 % moisture content.
    """
    return width_mm * per_pct * change_pct


def movement(material: str, rings: Rings | None = None, sheet: bool = False) -> Movement:
    """How much a material moves across its grain, by what it is called; for a sheet in its length and width alike.

    Rings that neither the caller nor the name tells are taken as flat-sawn, a name of several woods as the one of them that moves
    most, and an unknown wood by a general rule; the source says so.
    """
    meant = woods_meant(material)
    panel = panel_meant(material)
    if panel is not None or sheet:
        return _sheet(material, panel or ("plywood" if meant.woods else None))
    if not meant.woods:
        rule = rules()["MOVEMENT-GENERAL"]
        return Movement(rule.common, f"{material} is not in the table: {rule.cited}, {rule.note}", "from memory")
    return _board(material, meant, rings or meant.rings)


def _sheet(material: str, panel: str | None) -> Movement:
    """A sheet moves as the kind it is, as plywood where only its wood is told, else as the kind that moves most."""
    if panel is not None:
        return Movement(panels()[panel].moves_per_pct, f"{panel}: {panels()[panel].moves_source}", "from memory")
    most = max(panels().values(), key=lambda one: one.moves_per_pct)
    return Movement(most.moves_per_pct, f"{material} is not in the table: as {most.material}, {most.moves_source}", "from memory")


def _board(material: str, meant: Meant, rings: Rings | None) -> Movement:
    def per_pct(wood: Species) -> float:
        return wood.radial_per_pct if rings == "quarter-sawn" else wood.tangential_per_pct

    wood = max(meant.woods, key=per_pct)
    how = "radial" if rings == "quarter-sawn" else "tangential" if rings == "flat-sawn" else "tangential, rings not known"
    who = material if meant.known else f"{material} is not in the table"
    if len(meant.woods) > 1:
        who += f": largest of {len(meant.woods)}, {wood.name}"
    elif not meant.known:
        who += f": as {wood.name}"
    sure = wood.confidence_of_moves if meant.known else "from memory"
    return Movement(per_pct(wood), f"{who} ({how}); {wood.source_of_moves}", sure)
