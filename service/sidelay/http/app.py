"""The app factory: settings in, a Flask app out; nothing happens when this is imported."""

from __future__ import annotations

import time
from collections.abc import Callable

from flask import Flask

from .. import succession
from ..config import Settings
from ..processes import Processes
from .batch_routes import batch_routes
from .counts import counts_of
from .exchange import prepare_exchanges
from .gate import Gate
from .metrics import count_requests
from .problems import handle_problems
from .product_routes import product_routes
from .reloading import successor_of
from .retiring import tell_deprecations
from .routes import EXTENSION, routes
from .service import Service, start


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
    return _app_of(start(settings, processes or Processes.discover(), clock))


def _app_of(service: Service) -> Flask:
    settings = service.settings
    app = Flask("sidelay", static_folder=None)
    app.url_map.strict_slashes = True
    app.url_map.merge_slashes = False  # a path that is not known is a problem, not a redirect
    app.extensions[EXTENSION] = service
    app.extensions[succession.EXTENSION] = lambda: successor_of(app, _app_of)
    gate = Gate(service, counts_of(settings.redis_url))
    prepare_exchanges(app, settings.max_body_bytes, gate.check)
    app.after_request(gate.tell)
    tell_deprecations(app)
    count_requests(app)
    handle_problems(app)
    app.register_blueprint(routes)
    app.register_blueprint(product_routes)
    app.register_blueprint(batch_routes)
    return app
