#!/bin/sh
# Every check, in an environment of its own (.venv-tests, kept): style, types, imports, tests.
#
#   sh tests/run.sh [PYTEST ARGUMENTS]       as in: sh tests/run.sh tests/unit -k curve
#
# SIDELAY_PYTHON      the Python to use; by default the first that suits
# SIDELAY_TESTS_VENV  where the environment is; by default .venv-tests in the checkout
set -eu

root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
. "$root/deploy/environment.sh"
venv="${SIDELAY_TESTS_VENV:-$root/.venv-tests}"

stage() {
    say ""
    say "== $*"
    "$venv/bin/python" -m "$@"
}

cd "$root"
prepare_environment "$venv" "[dev]"
stage ruff check .
stage mypy
say ""
say "== lint-imports"
"$venv/bin/lint-imports"
stage pytest "$@"
