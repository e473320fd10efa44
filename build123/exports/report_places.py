"""Places of the report: files are told from the folder of the spec, so that a report says nothing of the disk it was made on."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import PurePosixPath
from typing import Any

from build123.problem import Finding, Span
from build123.problem.render_json import finding_data, span_data


def short_name(name: str, beside: str) -> str:
    """A file's name as seen from the folder of the file `beside`; its last part where it lies elsewhere."""
    path, folder = PurePosixPath(name.replace("\\", "/")), PurePosixPath(beside.replace("\\", "/")).parent
    return str(path.relative_to(folder)) if path.is_relative_to(folder) and path.is_absolute() == folder.is_absolute() else path.name


class Places:
    """Spans as JSON, with short file names."""

    def __init__(self, spec_names: Sequence[str]) -> None:
        self._beside = spec_names[0] if spec_names else ""

    def of(self, span: Span | None) -> dict[str, Any] | None:
        """One place."""
        return self._short(span_data(span))

    def finding(self, finding: Finding) -> dict[str, Any]:
        """One finding."""
        data = finding_data(finding)
        return {**data, "places": [self._short(place) for place in data["places"]]}

    def _short(self, place: dict[str, Any] | None) -> dict[str, Any] | None:
        return None if place is None else {**place, "file": short_name(place["file"], self._beside)}
