#!/bin/sh
# Every check, in an environment of its own (.venv-tests, kept): style, types, imports, tests.
#
#   sh tests/run.sh [PYTEST ARGUMENTS]       as in: sh tests/run.sh tests/unit -k curve
#
# SIDELAY_PYTHON      the Python to use; by default the first that suits
# SIDELAY_TESTS_VENV  where the environment is; by default .venv-tests in the checkout
# SIDELAY_CHROMIUM    the browser that the sample page is tested in; by default Debian's, which is
#                     installed where that may be done (root, apt-get)
set -eu

root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
. "$root/deploy/environment.sh"
venv="${SIDELAY_TESTS_VENV:-$root/.venv-tests}"

stage() {
    say ""
    say "== $*"
    "$venv/bin/python" -m "$@"
}

# fetch_chromium: install the browser where it is missing and that may be done. Whether it then is
# there, the tests that need it say; this never ends the run.
fetch_chromium() {
    if [ -n "${SIDELAY_CHROMIUM:-}" ] || [ -x /usr/bin/chromium ]; then
        return
    fi
    if [ "$(id -u)" -ne 0 ] || ! command -v apt-get >/dev/null 2>&1; then
        say "Chromium is missing, and cannot be installed from here."
        return
    fi
    say "Installing Chromium, which the sample page is tested in."
    # The lists of packages are only fetched where they are missing, or too old to install from.
    install_chromium || { apt-get update -qq >/dev/null 2>&1 && install_chromium; } ||
        say "Chromium could not be installed."
}

install_chromium() {
    DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends chromium \
        </dev/null >/dev/null 2>&1
}

cd "$root"
fetch_chromium
prepare_environment "$venv" "[dev]"
stage ruff check .
stage mypy
say ""
say "== lint-imports"
"$venv/bin/lint-imports"
if [ $# -gt 0 ]; then
    stage pytest "$@"
else
    # Tests in a browser measure how long a page waits: they have the machine to themselves.
    stage pytest --numprocesses auto --ignore tests/browser
    stage pytest tests/browser
fi
