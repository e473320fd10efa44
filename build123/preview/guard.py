"""Lets in only this machine's own pages, and sends them out with what keeps others from using them."""

from __future__ import annotations

from typing import Final

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

HOST: Final = "127.0.0.1"
NAMES: Final = (HOST, "localhost")
HTTP_PORT: Final = 80

SECURITY: Final = {
    "content-security-policy": "default-src 'self' 'unsafe-inline' data: blob:; object-src 'none'; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'none'",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "referrer-policy": "no-referrer",
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "cache-control": "no-store",
}
"""The page has a stricter policy of its own, by the hashes of its scripts; both hold. This one keeps it off the network."""


class Guard:
    """Refuses a Host or Origin that is not this server's: a foreign name that leads to 127.0.0.1 reads nothing here."""

    def __init__(self, app: ASGIApp, port: int) -> None:
        self._app = app
        self._hosts = {f"{name}:{port}" for name in NAMES} | (set(NAMES) if port == HTTP_PORT else set())
        self._origins = {f"http://{host}" for host in self._hosts}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request; nothing but HTTP is answered."""
        if scope["type"] != "http":
            return

        async def secured(message: Message) -> None:
            if message["type"] == "http.response.start":
                MutableHeaders(scope=message).update(SECURITY)
            await send(message)

        headers = Headers(scope=scope)
        refused = self._refused("host", headers.getlist("host"), self._hosts, 1) or self._refused(
            "origin", headers.getlist("origin"), self._origins, 0
        )
        if refused:
            await PlainTextResponse(f"refused: {refused}\n", 403)(scope, receive, secured)
            return
        await self._app(scope, receive, secured)

    @staticmethod
    def _refused(name: str, given: list[str], own: set[str], least: int) -> str:
        if not least <= len(given) <= 1:
            return f"{len(given)} {name} headers"
        return "" if all(one.lower() in own for one in given) else f"foreign {name}"
