"""The odds that the piece goes together at the first dry fit, under the spreads of stock and shop."""

from build123.odds.first import first_fit
from build123.odds.wording import summary

__all__ = ["first_fit", "summary"]
