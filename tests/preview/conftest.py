"""One server for all of them: its worker loads the geometry kernel once."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest
from live import Begun, Listener, Live, Shared, demo, live


@pytest.fixture(scope="session")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shared]:
    spec = tmp_path_factory.mktemp("shed") / "cabinet.yaml"
    spec.write_text(demo("34").replace("in: side, depth: 1/4}", "in: sid, depth: 1/4}"), encoding="utf-8")
    with live(spec) as running:
        listener = Listener(running.preview.port)
        at_start = listener.next()
        page = running.get("/")[1].decode()
        response, reason = running.get("/live/piece.json")
        running.save(demo("34"))
        then = [listener.next(), listener.next()]
        listener.close()
        yield Shared(running, Begun(page, response.status, json.loads(reason), at_start, then))


@pytest.fixture
def cabinet(shared: Shared) -> Live:
    """The demo on the page, 34 in wide, and nothing wrong."""
    shared.live.settle(demo("34"))
    return shared.live


@pytest.fixture
def running(shared: Shared) -> Live:
    """The server with some piece, whichever."""
    return shared.live
