"""What the server answers."""

from __future__ import annotations

import gzip
from typing import Final

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from build123.preview.desk import Desk
from build123.preview.guard import Guard

LIVE: Final = "/live"
JSON: Final = "application/json"


def application(page: str, desk: Desk, port: int) -> Starlette:
    """`page` at the root; under `/live` the last good piece and the events."""

    async def root(request: Request) -> Response:
        return HTMLResponse(page)

    async def piece(request: Request) -> Response:
        state = desk.state
        if not state.version:
            reason = "the spec has errors and was never made" if state.broken else "the model is being made"
            return JSONResponse({"reason": reason}, 404)
        if "gzip" in request.headers.get("accept-encoding", ""):
            return Response(state.payload, media_type=JSON, headers={"content-encoding": "gzip", "vary": "accept-encoding"})
        return Response(gzip.decompress(state.payload), media_type=JSON, headers={"vary": "accept-encoding"})

    async def events(request: Request) -> Response:
        return StreamingResponse(desk.events(), media_type="text/event-stream")

    routes = [Route("/", root), Route(f"{LIVE}/piece.json", piece), Route(f"{LIVE}/events", events)]
    return Starlette(routes=routes, middleware=[Middleware(Guard, port=port)])
