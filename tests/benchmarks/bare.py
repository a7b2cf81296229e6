"""The anchor of a cold start: a page with one link and nothing else, precached by a service worker of its own.

The link looks to the benchmark like an engine of the app's first screen, so that both are waited for alike.
"""

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

from standbook.config import HOST

PAGE = """<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Bare</title>
<main><a href="/build/1">An engine</a></main>
<script>navigator.serviceWorker.register('/worker.js')</script>
"""
WORKER = """
addEventListener('install', (event) => {
  event.waitUntil(caches.open('bare').then((cache) => cache.add('/')))
})
addEventListener('fetch', (event) => {
  if (event.request.mode === 'navigate') event.respondWith(caches.match('/'))
})
"""
FILES = {"/": ("text/html", PAGE), "/worker.js": ("text/javascript", WORKER)}


class Files(BaseHTTPRequestHandler):
    """Hands out the two files."""

    def do_GET(self) -> None:
        kind, text = FILES.get(self.path, ("text/plain", ""))
        body = text.encode()
        self.send_response(200 if body else 404)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, format: str, *args: object) -> None:
        """Says nothing: what is printed is the figures."""


@contextmanager
def bare_server() -> Iterator[str]:
    """Serves the bare page; gives its address."""
    server = ThreadingHTTPServer((HOST, 0), Files)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        yield f"http://{HOST}:{server.server_port}/"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()
