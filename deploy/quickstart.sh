#!/bin/sh
# From a checkout to a priced comparison: needs Python 3.11 or later and nothing else.
#
#   sh deploy/quickstart.sh [PORT] [--once]
#
# Installs sidelay in .venv, starts the service on this machine, compares the presses of the demo
# plant for a letter and prints the table. The service then runs until Ctrl-C; with --once it is
# stopped. A second run installs nothing.
#
# SIDELAY_PYTHON  the Python to use; by default the first that suits
# SIDELAY_VENV    where the environment is; by default .venv in the checkout
set -eu

root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
. "$root/deploy/environment.sh"

example="$root/openapi/examples/letter_two_sided.json"
book="$root/openapi/examples/paperback_novel.json"
venv="${SIDELAY_VENV:-$root/.venv}"
usage="Usage: sh deploy/quickstart.sh [PORT] [--once]"
patience_s=30

port=
once=
log=
server=
answered=

read_arguments() {
    for argument; do
        case $argument in
            --once) once=yes ;;
            -h | --help)
                say "$usage"
                exit 0
                ;;
            '' | *[!0-9]* | ??????*) wrong_usage "$argument is no port and no option." ;;
            *)
                [ -z "$port" ] || wrong_usage "Name one port only."
                port=$argument
                ;;
        esac
    done
    port="${port:-8000}"
    if [ "$port" -lt 1 ] || [ "$port" -gt 65535 ]; then
        wrong_usage "A port is from 1 to 65535."
    fi
}

wrong_usage() {
    printf '%s %s\n' "$1" "$usage" >&2
    exit 2
}

# Told before anything is installed; `sidelay serve` looks again.
check_port() {
    "$python" - "$port" <<'CHECK' || fail "Port $port cannot be used on 127.0.0.1; name another one."
import socket
import sys

with socket.socket() as probe:
    probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        probe.bind(("127.0.0.1", int(sys.argv[1])))
    except OSError:
        sys.exit(1)
CHECK
}

start_service() {
    say "Starting the service on port $port."
    log=$(mktemp)
    "$venv/bin/sidelay" serve --port "$port" >"$log" 2>&1 &
    server=$!
    give_up=$(($(date +%s) + patience_s))
    until is_ready; do
        is_running || service_failed "has stopped"
        [ "$(date +%s)" -lt "$give_up" ] || service_failed "does not answer"
    done
    # Someone else could have taken the port in between, and be the one who answers.
    is_running || service_failed "has stopped"
}

is_ready() {
    "$venv/bin/python" -c 'import sys
from sidelay.client import Client, ProblemError, Unreachable
try:
    Client(sys.argv[1], timeout_s=2).ready()
except (ProblemError, Unreachable):
    sys.exit(1)' "$url"
}

is_running() {
    kill -0 "$server" 2>/dev/null
}

# service_failed HOW: end, with what the service said last.
service_failed() {
    printf 'The service %s. The last lines of its log:\n' "$1" >&2
    tail -n 5 "$log" >&2
    is_running || server=
    exit 1
}

# shellcheck disable=SC2317  # called by the trap on exit
stop_service() {
    trap '' INT TERM HUP
    if [ -n "$server" ]; then
        kill -TERM "$server" 2>/dev/null || :
        wait "$server" 2>/dev/null || :
    fi
    [ -z "$log" ] || rm -f "$log"
}

# Ctrl-C is how this is meant to end once the service has answered; before that it breaks off.
# shellcheck disable=SC2317  # called by the traps on signals
interrupted() {
    [ -n "$answered" ] || exit 130
    say ""
    say "Stopping the service."
    exit 0
}

read_arguments "$@"
trap stop_service EXIT
trap interrupted INT TERM HUP
[ -r "$example" ] || fail "$example is missing from the checkout."
url="http://127.0.0.1:$port"

find_python
check_port
prepare_environment "$venv" ""
start_service
say ""
"$venv/bin/sidelay" compare "$example" --url "$url" || exit 1
answered=yes
[ -z "$once" ] || exit 0

say ""
say "The service answers at $url until Ctrl-C; its log is $log. Ask it again with:"
say "  $venv/bin/sidelay compare $example --url $url"
say "A book, with its parts, its binding and its packing:"
say "  $venv/bin/sidelay estimate $book --url $url"
wait "$server" || :
service_failed "has stopped"
