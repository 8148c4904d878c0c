"""Who may ask: read from the access file, and found again by the hash of a key."""

from __future__ import annotations

import hmac
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from ipaddress import ip_network
from pathlib import Path
from typing import Any

from marshmallow import fields, validate

from ..fields import ExactInteger
from ..keys import is_key, key_hash
from ..schema_parts import IDENTIFIER, Strict, identifier, shown_name
from ..toml_file import FileFaults, PlantFault, PlantFileError, loaded, read_located
from .addresses import Network, check_network
from .callers import SCOPES, Allowance, Caller
from .origins import check_origin

# One that is used, and one that takes its place.
MOST_KEYS = 2
LONGEST_WINDOW_S = 86_400
MOST_REQUESTS = 1_000_000_000
MOST_QUANTITIES = 10_000
MOST_PRICES = 10_000_000
NOBODY = Caller("", frozenset())

_SCOPE = validate.OneOf(SCOPES, error=f"expected one of {', '.join(SCOPES)}")
_HASH = validate.Regexp(
    r"[0-9a-f]{64}\Z", error="expected a SHA-256 in 64 hexadecimal digits, as sidelay key prints it"
)


class _LimitsSchema(Strict):
    """How much one client may ask; what is left out stands as it is for everyone."""

    requests = ExactInteger(validate=validate.Range(1, MOST_REQUESTS))
    window_s = ExactInteger(validate=validate.Range(1, LONGEST_WINDOW_S))
    quantities = ExactInteger(validate=validate.Range(1, MOST_QUANTITIES))
    prices = ExactInteger(validate=validate.Range(1, MOST_PRICES))


def _scopes(*, least: int) -> Any:
    return fields.List(fields.String(validate=_SCOPE), required=True, validate=_length(least))


def _length(least: int, most: int | None = None) -> validate.Length:
    told = f"from {least} to {most}" if most else f"{least} or more"
    return validate.Length(least, most, error=f"expected {told} of them")


class _ClientSchema(Strict):
    """A client: a storefront, a back office, a probe."""

    id = identifier()
    name = shown_name()
    scopes = _scopes(least=1)
    group = fields.String(load_default="", validate=IDENTIFIER)
    key_hashes = fields.List(
        fields.String(validate=_HASH), required=True, validate=_length(1, MOST_KEYS)
    )
    limits = fields.Nested(_LimitsSchema, load_default=dict)


class _AccessSchema(Strict):
    """The whole file."""

    open = _scopes(least=0)
    origins = fields.List(fields.String(validate=check_origin), load_default=list)
    proxies = fields.List(fields.String(validate=check_network), load_default=list)
    limits = fields.Nested(_LimitsSchema, load_default=dict)
    clients = fields.List(fields.Nested(_ClientSchema), load_default=list)


@dataclass(frozen=True, slots=True)
class Access:
    """Who may ask.

    anyone: who comes without a key; None where nobody may
    origins: of pages whose scripts may ask
    proxies: our own, whose X-Forwarded-For is believed
    by_hash: the SHA-256 of each live key, in hexadecimal digits, and whose it is
    """

    anyone: Caller | None
    origins: frozenset[str] = frozenset()
    proxies: tuple[Network, ...] = ()
    by_hash: tuple[tuple[str, Caller], ...] = ()

    def caller_of(self, key: str | None) -> Caller | None:
        """Return whose key this is, None if nobody's. None for a key: who comes without one.

        Every hash is compared, each in constant time, so that the time taken tells nothing.
        """
        if key is None:
            return self.anyone
        if not is_key(key):
            return None
        digest = key_hash(key)
        found = None
        for known, caller in self.by_hash:
            if hmac.compare_digest(known, digest):
                found = caller
        return found


def read_access(path: Path, groups: Collection[str] | None = None) -> Access:
    """Return who may ask, as a file says. Raises PlantFileError with every fault.

    groups: customer groups that some plant has; None lets any be named
    """
    try:
        data, _, faults = read_located(path)
    except OSError as fault:
        told = f"cannot be read: {fault.strerror}"
        raise PlantFileError([PlantFault(str(path), "", "", told)]) from None
    plain = loaded(_AccessSchema(), data, "", faults)
    faults.stop()
    _check_clients(plain["clients"], groups, faults)
    faults.stop()
    return _access(plain)


def _access(plain: Mapping[str, Any]) -> Access:
    usual = plain["limits"]
    anyone = Caller("", _implied(plain["open"]), "", Allowance(**usual))
    return Access(
        anyone=anyone if anyone.scopes else None,
        origins=frozenset(plain["origins"]),
        proxies=tuple(ip_network(text) for text in plain["proxies"]),
        by_hash=tuple(_by_hash(plain["clients"], usual)),
    )


def _by_hash(
    clients: list[dict[str, Any]], usual: Mapping[str, Any]
) -> Iterator[tuple[str, Caller]]:
    for client in clients:
        allowance = Allowance(**{**usual, **client["limits"]})
        caller = Caller(client["id"], _implied(client["scopes"]), client["group"], allowance)
        yield from ((digest, caller) for digest in client["key_hashes"])


def _implied(scopes: Collection[str]) -> frozenset[str]:
    """Return scopes with what they imply: who sees costs sees prices."""
    return frozenset(scopes) | ({"price"} if "cost" in scopes else set())


def _check_clients(
    clients: list[dict[str, Any]], groups: Collection[str] | None, faults: FileFaults
) -> None:
    ids: set[str] = set()
    digests: dict[str, str] = {}
    for number, client in enumerate(clients):
        table, group = f"clients[{number}]", client["group"]
        if client["id"] in ids:
            faults.add(table, "id", f"{client['id']!r} is taken")
        ids.add(client["id"])
        for place, digest in enumerate(client["key_hashes"]):
            if digest in digests:
                told = f"stands at {digests[digest]} already: a key is one client's, and once"
                faults.add(table, f"key_hashes[{place}]", told)
            digests.setdefault(digest, f"{table}.key_hashes[{place}]")
        if group and groups is not None and group not in groups:
            known = ", ".join(sorted(groups)) or "none"
            faults.add(table, "group", f"no plant has this customer group; there is {known}")
