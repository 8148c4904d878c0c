"""The app factory: settings in, a Flask app out; nothing happens when this is imported."""

from __future__ import annotations

import time
from collections.abc import Callable

from flask import Flask

from ..config import Settings
from ..processes import Processes
from .counts import counts_of
from .exchange import prepare_exchanges
from .gate import Gate
from .metrics import count_requests
from .problems import handle_problems
from .product_routes import product_routes
from .retiring import tell_deprecations
from .routes import EXTENSION, routes
from .service import start


def create_app(
    settings: Settings | None = None,
    *,
    processes: Processes | None = None,
    clock: Callable[[], float] = time.time,
) -> Flask:
    """Return the service as a WSGI app.

    settings: by default from the environment
    processes: by default every plug-in that is installed
    clock: returns what time it is [s since 1970, UTC], for requests without as_of
    Raises PlantFileError with every fault of the plant files or of the access file, BadSetting for
    the environment.
    """
    settings = settings or Settings.from_environment()
    service = start(settings, processes or Processes.discover(), clock)
    app = Flask("sidelay", static_folder=None)
    app.url_map.strict_slashes = True
    app.url_map.merge_slashes = False  # a path that is not known is a problem, not a redirect
    app.extensions[EXTENSION] = service
    gate = Gate(service, counts_of(settings.redis_url))
    prepare_exchanges(app, settings.max_body_bytes, gate.check)
    app.after_request(gate.tell)
    tell_deprecations(app)
    count_requests(app)
    handle_problems(app)
    app.register_blueprint(routes)
    app.register_blueprint(product_routes)
    return app
