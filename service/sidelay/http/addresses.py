"""Where a caller without a key asks from, as far as its address tells one from another."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from ipaddress import (
    IPv4Address,
    IPv4Network,
    IPv6Address,
    IPv6Network,
    ip_address,
    ip_network,
)

from marshmallow import ValidationError

# The rest of an IPv6 address is a machine's own to choose (RFC 4291, section 2.5.1).
IPV6_PREFIX_BITS = 64
UNKNOWN = "unknown"
# A longer chain of proxies is not looked through.
MOST_HOPS = 16

Address = IPv4Address | IPv6Address
Network = IPv4Network | IPv6Network


def check_network(text: str) -> None:
    """Raise ValidationError unless this is an address or a network, as 10.0.0.0/8."""
    try:
        ip_network(text)
    except ValueError:
        raise ValidationError(
            "expected an address or a network of addresses, as 127.0.0.1 or 10.0.0.0/8"
        ) from None


@lru_cache(1024)
def _address(text: str) -> Address | None:
    try:
        found = ip_address(text)
    except ValueError:
        return None
    return (found.ipv4_mapped or found) if isinstance(found, IPv6Address) else found


def asked_from(remote: str | None, forwarded: str, proxies: Sequence[Network]) -> Address | None:
    """Return the address that a request comes from, None where it is not known.

    Anyone can write a field. So the chain of X-Forwarded-For is read from its end, where the
    nearest proxy has written, and only as long as proxies of our own have written it.

    remote: who has connected
    forwarded: X-Forwarded-For, "" where there is none
    proxies: addresses of our own proxies
    """
    found = _address(remote or "")
    hops = forwarded.rsplit(",", MOST_HOPS)[-MOST_HOPS:] if forwarded else []
    while found is not None and hops and any(found in network for network in proxies):
        told = _address(hops.pop().strip())
        if told is None:
            break
        found = told
    return found


def partition_of(address: Address | None) -> str:
    """Return what requests of an address are counted under: IPv4 whole, IPv6 by its /64.

    One machine can ask from any address of its /64, and would be a new caller each time.
    """
    if address is None:
        return UNKNOWN
    if isinstance(address, IPv4Address):
        return str(address)
    shift = 128 - IPV6_PREFIX_BITS
    return f"{IPv6Address(int(address) >> shift << shift)}/{IPV6_PREFIX_BITS}"
