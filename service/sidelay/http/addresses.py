"""Where a caller without a key asks from, as far as its address tells one from another."""

from __future__ import annotations

from functools import lru_cache
from ipaddress import IPv6Address, ip_address

# The rest of an IPv6 address is a machine's own to choose (RFC 4291, section 2.5.1).
IPV6_PREFIX_BITS = 64
UNKNOWN = "unknown"


@lru_cache(1024)
def partition_of(address: str | None) -> str:
    """Return what requests of an address are counted under: IPv4 whole, IPv6 by its /64.

    One machine can ask from any address of its /64, and would be a new caller each time.
    """
    try:
        found = ip_address(address or "")
    except ValueError:
        return UNKNOWN
    if not isinstance(found, IPv6Address):
        return str(found)
    if found.ipv4_mapped is not None:
        return str(found.ipv4_mapped)
    shift = 128 - IPV6_PREFIX_BITS
    return f"{IPv6Address(int(found) >> shift << shift)}/{IPV6_PREFIX_BITS}"
