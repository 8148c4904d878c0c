"""A Flask endpoint that returns a constant: what serving costs where nothing is worked out.

The constant is the file that SIDELAY_BENCH_BODY names.
"""

from __future__ import annotations

import os
from pathlib import Path

from flask import Flask, Response

BODY = Path(os.environ["SIDELAY_BENCH_BODY"]).read_bytes()
app = Flask("constant", static_folder=None)


@app.get("/constant")
def get_constant() -> Response:
    """Return the constant."""
    return Response(BODY, mimetype="application/json")
