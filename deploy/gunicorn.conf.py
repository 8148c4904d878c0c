"""gunicorn's settings in production: gunicorn -c deploy/gunicorn.conf.py sidelay.http.wsgi:app

They are the ones that `sidelay serve` uses; `sidelay/serving.py` gives the reason for each. Set a
name anew below to change one here. Set PROMETHEUS_MULTIPROC_DIR to an empty folder, or each worker
tells its own counts at /metrics; `sidelay serve` makes one.
"""

from sidelay.serving import (  # noqa: F401  (gunicorn reads the names)
    accesslog,
    bind,
    child_exit,
    control_socket_disable,
    errorlog,
    graceful_timeout,
    loglevel,
    max_requests,
    on_reload,
    post_fork,
    pre_exec,
    preload_app,
    timeout,
    worker_class,
    worker_tmp_dir,
    workers,
)
