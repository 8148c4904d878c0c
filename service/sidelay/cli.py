"""The command `sidelay`: serve, make keys, have a job priced by a service that runs, check plants.

Exit status: 0 done; 1 refused by the service, or the port is taken; 2 wrong usage, or a file that
cannot be read; 3 no service answers, or none that this release understands. Faults go to the
standard error, answers to the standard output.
"""

from __future__ import annotations

import argparse
import io
import json
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from . import __version__
from . import batch_command as batch
from .asking_arguments import add_service, whole
from .client import NO_RETRIES, Answer, Client, ProblemError, Unreachable
from .key_command import BadKey, add_key, key_text
from .plant_arguments import add_plant
from .serving import MOST_WORKERS, PORT, PortTaken, default_workers, serve
from .tables import comparison_text, estimate_text, problem_text
from .trace_text import trace_text

DONE, REFUSED, USAGE, UNREACHABLE = 0, 1, 2, 3
# Where a key is: on the command line whoever lists processes would see it.
KEY_VARIABLE = "SIDELAY_API_KEY"
# As a shell tells the end of a process by signal: 128 and the signal's number.
INTERRUPTED, BROKEN_PIPE = 130, 141
STANDARD_INPUT = "-"

WRITERS: dict[str, Callable[[Answer], str]] = {
    "estimate": estimate_text,
    "compare": comparison_text,
}


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command and return its exit status; arguments are by default the process's own."""
    parser = _parser()
    options = parser.parse_args(arguments)
    if options.command == "compare" and not options.chart and (options.measure or options.quantity):
        parser.error("--measure and --quantity are for --chart")
    if isinstance(sys.stdout, io.TextIOWrapper):
        # A terminal that lacks a letter shows a question mark, and the price is still told.
        sys.stdout.reconfigure(errors="replace")
    try:
        status = _run(options)
        sys.stdout.flush()
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        # The reader has gone. Python would complain once more when it empties its buffer at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return BROKEN_PIPE
    return status


def _run(options: argparse.Namespace) -> int:
    try:
        if options.command == "serve":
            serve(options.port, options.workers)
            return DONE
        if options.command == "key":
            print(key_text(options.client, hash_only=options.hash))
            return DONE
        if options.command == "plant":
            # Whoever only asks a service loads none of the pricing.
            from .plant_tools.command import run

            return run(options)
        if options.command == "batch":
            return batch.run(options, os.environ.get(KEY_VARIABLE, ""))
        body = _read(options.file)
        traced = options.command == "estimate" and options.trace
        body = _with_members(body, *_members(options))
        key = os.environ.get(KEY_VARIABLE, "")
        # Whoever sits before it is told at once, and asks again when it suits.
        with Client(options.url, options.timeout, key, retries=NO_RETRIES) as client:
            if options.chart or options.csv:
                sys.stdout.flush()
                sys.stdout.buffer.write(_shown(client, options, body))
                return DONE
            answer = getattr(client, options.command)(body)
    except (_UnreadableError, BadKey) as fault:
        return _fail(USAGE, str(fault))
    except PortTaken as fault:
        return _fail(REFUSED, str(fault))
    except ProblemError as problem:
        return _fail(REFUSED, problem_text(problem.title, problem.detail, problem.errors))
    except Unreachable as fault:
        return _fail(UNREACHABLE, str(fault))
    writer = trace_text if traced else WRITERS[options.command]
    return _show(writer, answer, as_json=options.json)


def _shown(client: Client, options: argparse.Namespace, body: bytes) -> bytes:
    """Return a comparison as a picture or a table, as it comes."""
    if options.csv:
        return client.csv(body, table=options.csv)
    given = {"chart": options.chart, "measure": options.measure, "quantity": options.quantity}
    return client.chart(body, **{name: value for name, value in given.items() if value})


def _show(writer: Callable[[Answer], str], answer: Answer, *, as_json: bool) -> int:
    if as_json:
        print(json.dumps(answer, indent=2))
        return DONE
    try:
        text = writer(answer)
    except (LookupError, TypeError, ValueError, ArithmeticError, AttributeError):
        # Another release may answer otherwise; the raw answer can still be of use.
        return _fail(UNREACHABLE, "This release cannot read the answer; see it with --json.")
    print(text)
    return DONE


class _UnreadableError(Exception):
    """A request that cannot be read from where it was said to be."""


def _read(name: str) -> bytes:
    """Return a file's bytes as they are: the service is the one to judge them."""
    try:
        return sys.stdin.buffer.read() if name == STANDARD_INPUT else Path(name).read_bytes()
    except OSError as fault:
        raise _UnreadableError(f"{name} cannot be read: {fault.strerror}.") from None
    except ValueError:
        raise _UnreadableError(f"{name!r} cannot be the name of a file.") from None


def _members(options: argparse.Namespace) -> tuple[dict[str, object], dict[str, object]]:
    """Return what options set in a request, and what in its job."""
    members: dict[str, object] = {}
    if options.command == "estimate" and options.trace:
        members["detail"] = "trace"
    if options.as_of is not None:
        members["as_of"] = options.as_of
    if options.overtime:
        members["overtime"] = True
    return members, {} if options.due is None else {"due_at": options.due}


def _with_members(body: bytes, members: dict[str, object], of_job: dict[str, object]) -> bytes:
    """Return a request with members set, of its job too; one that is no plain object as it is.

    What is wrong with such a request is for the service to say. Raises _UnreadableError where the
    job is in a document.
    """
    if not members and not of_job:
        return body

    def once(pairs: list[tuple[str, object]]) -> dict[str, object]:
        found = dict(pairs)
        if len(found) < len(pairs):
            raise ValueError("a member stands twice")
        return found

    try:
        request = json.loads(body, object_pairs_hook=once)
    except (ValueError, RecursionError):
        return body
    if not isinstance(request, dict):
        return body
    if request.get("Name") == "XJDF":
        # A whole document says nothing of prices: what is asked beside it stands around it.
        request = {"xjdf": request}
    if of_job and request.get("xjdf") is not None:
        told = "an XJDF document says it itself, as Required of its DeliveryParams"
        raise _UnreadableError(f"--due goes into a job: {told}.")
    job = request.get("job")
    if of_job and isinstance(job, dict):
        members = members | {"job": job | of_job}
    return json.dumps(request | members).encode()


def _fail(status: int, message: str) -> int:
    print(message, file=sys.stderr)
    return status


# ---------------------------------------------------------------- options


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="sidelay",
        description="Prices a printed piece on every press of a plant.",
    )
    parser.add_argument("--version", action="version", version=f"sidelay {__version__}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    _add_serve(commands.add_parser("serve", help="serve on this machine until stopped"))
    add_key(commands.add_parser("key", help="make a key for a client of the service"))
    add_plant(commands.add_parser("plant", help="start, check, update or keep plant files"))
    batch.add_batch(commands.add_parser("batch", help="price many jobs, a line of a file each"))
    for name, about in (
        ("estimate", "price a job: the best press for each quantity"),
        ("compare", "compare every press, and from which quantity each is the cheapest"),
    ):
        asking = commands.add_parser(name, help=about, description=f"{about.capitalize()}.")
        form = _add_asking(asking)
        if name == "compare":
            _add_showing(asking, form)
        else:
            asking.add_argument(
                "--trace",
                action="store_true",
                help="print how the first quantity's price comes about, figure by figure",
            )
    return parser


def _add_serve(parser: argparse.ArgumentParser) -> None:
    parser.description = "Serve on the loopback address of this machine, as in production."
    parser.add_argument(
        "--port", type=whole(1, 65535), default=PORT, metavar="N", help="by default %(default)s"
    )
    parser.add_argument(
        "--workers",
        type=whole(1, MOST_WORKERS),
        default=default_workers(),
        metavar="N",
        help="requests served at once; by default one a core, here %(default)s",
    )


def _add_asking(parser: argparse.ArgumentParser) -> argparse._MutuallyExclusiveGroup:
    """Add the options of every request, and return the group of what its answer comes as."""
    parser.add_argument("file", metavar="FILE", help="the request as JSON; - for standard input")
    parser.set_defaults(chart=None, csv=None)
    _add_timing(parser)
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="print the answer as it came")
    add_service(parser, 30, 600, "an answer")
    return form


def _add_timing(parser: argparse.ArgumentParser) -> None:
    """Add what is asked about time, in place of what the file says. The service judges it."""
    parser.add_argument(
        "--due",
        metavar="TIME",
        help="when it is wanted, with its offset from UTC: 2026-12-01T12:00:00+00:00",
    )
    parser.add_argument(
        "--as-of",
        metavar="TIME",
        help="reckon as if it were this time, with its offset; else the request's, or now",
    )
    parser.add_argument("--overtime", action="store_true", help="let overtime be worked, for money")


def _add_showing(
    parser: argparse.ArgumentParser, form: argparse._MutuallyExclusiveGroup
) -> None:
    """Add what /compare can be asked for beside JSON. The service judges the words."""
    form.add_argument(
        "--chart", metavar="CHART", help="draw as SVG instead: unit_cost, total_cost or money"
    )
    form.add_argument(
        "--csv",
        metavar="TABLE",
        help="write as CSV instead: choices, curves, bands, characteristics, trade_off, due_bands",
    )
    parser.add_argument(
        "--measure", metavar="MONEY", help="what the chart shows: cost, as by default, or price"
    )
    parser.add_argument(
        "--quantity", metavar="N", help="of the chart money: one of the quantities of the job"
    )


if __name__ == "__main__":
    raise SystemExit(main())
