"""The join door: one plain page by address, which hands over the shop's certificate authority. Nothing of the book."""

from flask import Flask, Response, jsonify
from werkzeug.exceptions import NotFound

from standbook import clock
from standbook.api.client import inside, kind_of
from standbook.api.here import here
from standbook.config import Settings
from standbook.network.authority import Authority
from standbook.network.whereabouts import Whereabouts

FOLDER = "door"
#: The page shows pictures of the app's origin to see whether the phone finds and trusts it; it runs nothing from there.
HEADERS = {
    "Content-Security-Policy": "default-src 'self'; img-src 'self' http: https:; object-src 'none'; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "X-Frame-Options": "DENY",
    "Cache-Control": "no-store",
}


def create_door(settings: Settings, whereabouts: Whereabouts, authority: Authority, shop: str) -> Flask:
    """`shop`: its name, as the page's head says it."""
    app = Flask("standbook-door", static_folder=None)
    app.config["MAX_CONTENT_LENGTH"] = 0

    @app.get("/")
    def page() -> Response:
        return file(settings, "door.html")

    @app.get(f"/{FOLDER}/<path:name>")
    def asset(name: str) -> Response:
        return file(settings, name)

    @app.get("/where")
    def where() -> Response:
        told = {"shop": shop, "origin": whereabouts.origin, "name": whereabouts.name, "port": whereabouts.port}
        more = {"door_port": whereabouts.door_port, "fingerprint": whereabouts.fingerprint, "now": clock.now_stamp()}
        return jsonify({**told, **more, "addresses": whereabouts.addresses})

    @app.get("/ca.crt")
    def certificate() -> Response:
        return Response(authority.der, content_type="application/x-x509-ca-cert")

    app.add_url_rule("/here.svg", view_func=here)
    app.after_request(add_headers)
    return app


def file(settings: Settings, name: str) -> Response:
    """A file of the page; nothing outside its folder."""
    path = inside(settings.web / FOLDER, name)
    if path is None:
        raise NotFound
    return Response(path.read_bytes(), content_type=kind_of(path))


def add_headers(response: Response) -> Response:
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    return response
