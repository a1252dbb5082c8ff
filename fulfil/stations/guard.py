"""What is asked of every request before a page sees it, and what every answer tells the browser.

A post must come from a page of this server (Fetch Metadata's ``Sec-Fetch-Site``, else ``Origin``, as in OWASP's
Cross-Site Request Forgery Prevention Cheat Sheet), a host must be one of ours (against rebound names), a body must be
small. The answer allows no script, style, picture or frame from anywhere else (Content Security Policy Level 3), and
none within the page.
"""

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

MOST_BYTES = 64 * 1024
MOST_BYTES_OF_FILES = dict.fromkeys(("/clerk/bill", "/clerk/orders", "/clerk/reading"), 4 * 1024 * 1024)
"""Where a form brings a file along."""
HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
        "manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=(), payment=(), usb=(), serial=(self)",
}


class Guard:
    """The server behind its checks."""

    def __init__(self, app: ASGIApp, *, hosts: frozenset[str], is_secure: bool) -> None:
        self.app, self.hosts, self.is_secure = app, hosts, is_secure

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Lets a request through, or says in one sentence why not."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(raw=message["headers"])
                for name, value in HEADERS.items():
                    headers[name] = value
                headers.setdefault("Cache-Control", "no-store")
                if self.is_secure:
                    headers["Strict-Transport-Security"] = "max-age=31536000"
                message["headers"] = headers.raw
            await send(message)

        most = MOST_BYTES_OF_FILES.get(scope["path"], MOST_BYTES)
        why, code = self._against(scope["method"], Headers(scope=scope), most)
        if why:
            await PlainTextResponse(why, code)(scope, receive, send_guarded)
            return
        await self.app(scope, _limited(receive, most), send_guarded)

    def _against(self, method: str, headers: Headers, most: int) -> tuple[str, int]:
        """Why a request is not let through, with the code that says so; empty where it is."""
        host = headers.get("host", "")
        if _without_port(host) not in self.hosts:
            return f"This server is not called '{host[:60]}': open it by the address that it showed.", 421
        if method in ("GET", "HEAD"):
            return "", 200
        if method != "POST":
            return "A page is read or posted to, nothing else.", 405
        length = headers.get("content-length", "0")
        if not (length.isascii() and length.isdigit()) or int(length) > most:
            return "That is too long for a bench.", 413
        site, origin = headers.get("sec-fetch-site"), headers.get("origin", "")
        is_ours = site == "same-origin" if site else origin.partition("://")[2] == host and bool(origin)
        return ("", 200) if is_ours else ("Posts come from this server's own pages only.", 403)


def _without_port(host: str) -> str:
    return host[: host.index("]") + 1] if host.startswith("[") and "]" in host else host.partition(":")[0]


def _limited(receive: Receive, most: int) -> Receive:
    """A body that says no length, or a wrong one, ends where it is too long."""
    got = 0

    async def receive_limited() -> Message:
        nonlocal got
        message = await receive()
        got += len(message.get("body", b""))
        return {"type": "http.disconnect"} if got > most else message

    return receive_limited
