"""Serves the sample page, and pages that a test brings."""

from __future__ import annotations

from http.server import SimpleHTTPRequestHandler
from typing import ClassVar


class Pages(SimpleHTTPRequestHandler):
    """Serves the sample page; more: further pages by their path, for a test of their own."""

    more: ClassVar[dict[str, bytes]] = {}

    def do_GET(self) -> None:
        """Answer with one of the further pages, or with a file of the sample."""
        body = self.more.get(self.path)
        if body is None:
            super().do_GET()
            return
        self.send_response(200)
        self.send_header("Content-Type", "text/html; charset=utf-8")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, format: str, *args: object) -> None:
        """Say nothing."""
