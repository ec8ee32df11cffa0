"""A folder of plain files served on this computer, and a browser kept within it."""

from __future__ import annotations

import contextlib
import functools
import http.server
import threading


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, *said):
        """Say nothing."""


@contextlib.contextmanager
def served(folder):
    """Serve a folder on the loopback address; gives the address, with a slash at its end."""
    handler = functools.partial(_Quiet, directory=str(folder))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()


def fenced(context, address):
    """Let a browser's context ask this site only; return the list of what it asked elsewhere."""
    elsewhere = []

    def gate(route):
        if route.request.url.startswith((address, "data:", "blob:")):
            route.continue_()
        else:
            elsewhere.append(route.request.url)
            route.abort()

    context.route("**/*", gate)
    return elsewhere
