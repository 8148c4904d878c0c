"""The service over HTTP: strict JSON in, an estimate or a comparison out, problems when not.

Read `app.py` (the factory), then `routes.py`. Nothing outside this package imports Flask.
"""
