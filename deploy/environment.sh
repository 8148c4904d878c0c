# Read by quickstart.sh and tests/run.sh, which set `root`: finds a Python, makes a virtual
# environment, and installs the checkout there. POSIX sh.
# shellcheck shell=sh
# shellcheck disable=SC2154  # root is set by who reads this

least_minor=11
pythons="python3 python3.14 python3.13 python3.12 python3.11"

say() {
    printf '%s\n' "$*"
}

# fail MESSAGE: end with one line on the standard error.
fail() {
    printf '%s\n' "$*" >&2
    exit 1
}

# find_python: set `python` to the first one that suits; SIDELAY_PYTHON allows only one.
find_python() {
    if [ -n "${SIDELAY_PYTHON:-}" ]; then
        why="$SIDELAY_PYTHON cannot be run."
        set -- "$SIDELAY_PYTHON"
    else
        why="No Python was found."
        # shellcheck disable=SC2086  # a list of words
        set -- $pythons
    fi
    for python; do
        if suits "$python"; then
            return
        fi
    done
    fail "$why Python 3.$least_minor or later is needed; name one with SIDELAY_PYTHON."
}

# suits PYTHON: whether it can be used; if not, `why` says so, unless there is no such program.
suits() {
    version=$("$1" -c 'import sys; print("%d.%d" % sys.version_info[:2])' 2>/dev/null) || return 1
    case $version in
        3.[0-9] | 3.[0-9][0-9]) minor=${version#3.} ;;
        *) minor=0 ;;
    esac
    if [ "$minor" -lt "$least_minor" ]; then
        why="$1 is of version $version."
        return 1
    fi
    if ! "$1" -c 'import ensurepip, venv' 2>/dev/null; then
        why="$1 has no venv module (Debian and Ubuntu have it in python3-venv)."
        return 1
    fi
}

# prepare_environment FOLDER EXTRAS: install the checkout in a virtual environment, with extras as
# "[dev]" or "". The install is editable, so a change of the sources is there at once; only a change
# of pyproject.toml, or another checkout, installs anew.
prepare_environment() {
    stamp="$1/sidelay-installed"
    state="$root$2 $(cksum <"$root/pyproject.toml")"
    if [ "$(cat "$stamp" 2>/dev/null)" = "$state" ] && "$1/bin/sidelay" --version >/dev/null 2>&1
    then
        say "The environment $1 is up to date."
        return
    fi
    make_environment "$1"
    say "Installing sidelay and what it needs. The first time takes about a minute."
    "$1/bin/python" -m pip install --quiet --disable-pip-version-check --no-input \
        --editable "$root$2" >"$1/install.log" 2>&1 ||
        fail "pip could not install: $(last_error "$1/install.log") (All of it: $1/install.log)"
    printf '%s\n' "$state" >"$stamp"
}

# make_environment FOLDER: with a Python that suits; a folder of something else is left alone.
make_environment() {
    find_python
    if [ -n "$(ls -A "$1" 2>/dev/null)" ] && [ ! -f "$1/pyvenv.cfg" ]; then
        fail "$1 is there, and is no virtual environment; remove it, or choose another place."
    fi
    if [ -e "$1" ] && [ ! -w "$1" ]; then
        fail "$1 may not be written; choose another place."
    fi
    say "Making the environment $1 with Python $version."
    told=$("$python" -m venv --clear "$1" 2>&1) ||
        fail "The environment $1 cannot be made: $(printf '%s\n' "$told" | tail -n 1)"
    printf '*\n' >"$1/.gitignore" # it never belongs to the checkout
}

# last_error LOG: the last thing that pip calls an error, or its last line.
last_error() {
    told=$(sed -n 's/^ *ERROR: *//p' "$1" | tail -n 1)
    printf '%s\n' "${told:-$(tail -n 1 "$1")}"
}
