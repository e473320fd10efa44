"""A fit that is right as drawn but fails too often under the spread of the stock and the shop.

Spoken only where the clearance as measured on the solids is fine, and more than one dry fit in ten would find it too tight
or too loose. What comes from the usual spreads of a shop alone is not told here: the odds of the first dry fit count it.

Why
    A sheet is not equally thick everywhere. At the thick places the housing is too tight, at the thin ones the part rattles.
    Source: root-sum-square of the spreads, each taken as six standard deviations (convention of process capability, from memory)

Change
    Measure the sheet where the part comes from and cut the housing to that, or gauge the cutter on a trial piece.

Bad
    build123: 1
    piece: Seed tray
    units: mm
    sizes: {width: 400, depth: 200, height: 300}
    stock:
      ply: {sheet: birch plywood, thickness: 18, spread: 0.5}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from 100}
    joints:
      - dado: {of: shelf, in: side, depth: 6, fit: slip}

Good
    build123: 1
    piece: Seed tray
    units: mm
    sizes: {width: 400, depth: 200, height: 300}
    stock:
      ply: {sheet: birch plywood, thickness: 18, spread: 0.2}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from 100}
    joints:
      - dado: {of: shelf, in: side, depth: 6, fit: slip}
"""

from __future__ import annotations

from collections.abc import Iterator

from build123.checks.registry import check
from build123.checks.seen import MEASURED_MM, Seen
from build123.checks.wording import finding
from build123.model.plan import FitOdds
from build123.problem import Finding, Severity

TOO_OFTEN = 0.10
"""A fit that fails less often is left to the odds of the piece: slip fits in sheets that vary by 0.3 mm are ordinary work."""

GOOD_PART = 0.25
"""Share of the variance that is from spreads which the spec itself gives: its shop's, or a stock's."""


@check(severity=Severity.note)
def find(seen: Seen) -> Iterator[Finding]:
    """One finding for all fits that fail alike, at the first of them."""
    if seen.first_fit is None:
        return
    joints = {joint.id: joint for joint in seen.design.joints}
    groups: dict[tuple[object, ...], list[FitOdds]] = {}
    for fit in seen.first_fit.fits:
        if fit.low_mm - MEASURED_MM <= fit.nominal_mm <= fit.high_mm + MEASURED_MM and 1 - fit.odds > TOO_OFTEN and fit.stated >= GOOD_PART:
            key = (fit.what, *(round(one, 4) for one in (fit.nominal_mm, fit.least_mm, fit.most_mm, fit.low_mm, fit.high_mm)))
            groups.setdefault(key, []).append(fit)
    for fits in groups.values():
        fit, alike = fits[0], [joints[one.joint] for one in fits if one.joint in joints]
        more = f" (and {len(fits) - 1} like it)" if len(fits) > 1 else ""
        yield finding(
            __name__,
            Severity.note,
            f"{fit.joint}{more}: at the ends of the spreads there are {seen.show(round(fit.least_mm, 3))} to"
            f" {seen.show(round(fit.most_mm, 3))} {fit.what}, wanted are {seen.show(fit.low_mm)} to {seen.show(fit.high_mm)};"
            f" {100 * (1 - fit.odds):.0f} in 100 do not fit",
            seen,
            parts=dict.fromkeys(name for one in fits for name in one.parts),
            joints=alike,
            at=_place(seen, fit),
            numbers={
                "odds": fit.odds,
                "nominal_mm": fit.nominal_mm,
                "least_mm": fit.least_mm,
                "most_mm": fit.most_mm,
                "low_mm": fit.low_mm,
                "high_mm": fit.high_mm,
            },
        )


def _place(seen: Seen, fit: FitOdds) -> tuple[float, float, float] | None:
    for joint in seen.design.joints:
        for expect in joint.expects:
            if joint.id == fit.joint and fit.what.startswith(expect.what) and expect.what:
                return expect.near.middle
    return None
