"""What a WSGI server loads: `sidelay.http.wsgi:app`, set up from the environment.

A plant file or a setting that cannot be used stops the start: every fault on a line of its own on
the standard error, and exit status 3, which gunicorn takes as a reason not to try again.
"""

from __future__ import annotations

import sys

from flask import Flask

from ..config import BadSetting
from ..toml_file import PlantFileError
from .app import create_app

EXIT_STATUS = 3


def start_or_exit() -> Flask:
    """Return the app, or print the faults and raise SystemExit."""
    try:
        return create_app()
    except (PlantFileError, BadSetting) as fault:
        print(fault, file=sys.stderr)
        raise SystemExit(EXIT_STATUS) from None


app = start_or_exit()
