"""The glue-up and the odds of the first dry fit, as the report tells them."""

from __future__ import annotations

from typing import Any

from build123.exports.figures import figure, point
from build123.fields.quantity import Units
from build123.model.design import Shop
from build123.model.plan import FirstFit, FitOdds, GlueUp
from build123.odds import summary


def glue_up_data(plan: GlueUp | None) -> dict[str, Any] | None:
    """The order of assembly; None where it was not looked for."""
    if plan is None:
        return None
    return {
        "confirmed": plan.confirmed,
        "steps": [
            {
                "number": step.number,
                "bodies": list(step.bodies),
                "direction": None if step.direction is None else point(step.direction),
                "travel_mm": figure(step.travel_mm),
                "onto": list(step.onto),
                "joints": list(step.joints),
                "within": step.within,
            }
            for step in plan.steps
        ],
        "sub_assemblies": [list(parts) for parts in plan.sub_assemblies],
        "trapped": [{"parts": list(one.parts), "by": list(one.by)} for one in plan.trapped],
        "held_back": [{"part": part, "until": list(closes)} for part, closes in plan.held_back],
        "out_of_reach": [{"hardware": one.hardware, "step": one.step, "by": list(one.by)} for one in plan.out_of_reach],
    }


def first_fit_data(first: FirstFit | None, units: Units, shop: Shop) -> dict[str, Any] | None:
    """The odds that it goes together at once; None where they were not asked for."""
    if first is None:
        return None
    return {
        "odds": figure(first.odds),
        "summary": summary(first, units, shop),
        "fits": [_fit(one) for one in first.fits],
        "helps": [{"what": what, "odds": figure(odds)} for what, odds in first.helps],
    }


def _fit(one: FitOdds) -> dict[str, Any]:
    return {
        "joint": one.joint,
        "what": one.what,
        "parts": list(one.parts),
        "nominal_mm": figure(one.nominal_mm),
        "least_mm": figure(one.least_mm),
        "most_mm": figure(one.most_mm),
        "sigma_mm": figure(one.sigma_mm),
        "low_mm": figure(one.low_mm),
        "high_mm": figure(one.high_mm),
        "odds": figure(one.odds),
        "shares": [{"source": source, "share": figure(share)} for source, share in one.shares],
    }
