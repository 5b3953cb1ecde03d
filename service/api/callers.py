"""Who calls: an API key that the service knows, else an address; and what may be done without a key."""

import hashlib
import hmac
import re
from collections.abc import Sequence
from ipaddress import IPv6Address, ip_address

from flask import Flask, Response, g, request

from service.api.problems import Problem, problem_response
from service.api.rate_limits import RateLimiter
from service.configuration import Configuration

__all__ = ["KEY_HEADER", "guard", "hash_of_key", "key_in_log", "network_of"]

KEY_HEADER = "X-API-Key"

#: What an address of IPv6 stands for: one customer has a whole network of this many bits (RFC 6177).
_CUSTOMER_BITS = 64
#: Digits of a key's hash that the log tells: enough to tell keys apart, useless to make one.
_LOGGED_DIGITS = 8
#: An address as some proxies pass it on: with a port, one of IPv6 in brackets.
_WITH_PORT = re.compile(r"\[([^]]+)\](?::[0-9]+)?|([0-9.]+):[0-9]+")

#: The scheme has no registered name; browsers ignore what they do not know.
_CHALLENGE = 'ApiKey realm="hat pattern math"'


def guard(app: Flask, settings: Configuration, limiter: RateLimiter | None) -> None:
    """Ask callers for a key and count what they send, where the settings say so.

    What calculates is guarded: the interface and the worksheet. Health, problem pages and the document are
    not, and neither is OPTIONS, which browsers send without a key. Who has no known key is counted by
    address, so that guessing keys is counted too.
    """

    @app.before_request
    def refuse() -> Response | None:
        is_worksheet = request.blueprint == "worksheet"
        if request.method == "OPTIONS" or not (is_worksheet or request.path.startswith("/v1/")):
            return None
        g.key_hash = _known_hash(request.headers.get(KEY_HEADER, ""), settings.api_key_hashes)
        if limiter is not None:
            wait_s = limiter.wait_s(g.key_hash or network_of(request.remote_addr))
            if wait_s:
                return _too_many(wait_s)
        needs_key = settings.api_key_hashes and not (is_worksheet and settings.open_worksheet)
        return _unauthorized() if needs_key and not g.key_hash else None


def hash_of_key(key: str) -> str:
    """Return the hash of a key as 64 hexadecimal digits.

    Convention: plain SHA-256. Keys are 256 random bits, which nobody finds by trying; a slow hash protects
    guessable passwords, and here it would only let strangers spend our time.

    Examples
    --------
    >>> hash_of_key("abc")[:16]
    'ba7816bf8f01cfea'

    Notes
    -----
    The example is the one of FIPS 180-2, appendix B.1.
    """
    return hashlib.sha256(key.encode("utf-8", "surrogateescape")).hexdigest()


def _known_hash(key: str, hashes: Sequence[str]) -> str | None:
    """Return the hash of a key if it is known; the time tells nothing of how near a wrong one is."""
    sent = hash_of_key(key)
    known = [hmac.compare_digest(sent, each) for each in hashes]
    return sent if any(known) else None


def key_in_log() -> str | None:
    """Return what the log may tell of the current request's key, if it has one that is known."""
    known: str | None = g.get("key_hash")
    return known[:_LOGGED_DIGITS] if known else None


def network_of(address: str | None) -> str:
    """Return whom an address stands for: itself, or the network of a customer; anything else is one caller.

    Examples
    --------
    >>> network_of("192.0.2.7"), network_of("::ffff:192.0.2.7")
    ('192.0.2.7', '192.0.2.7')
    >>> network_of("2001:db8:1:2:3:4:5:6")
    '2001:db8:1:2::'
    >>> network_of("192.0.2.7:1001"), network_of("[2001:db8::7]:80")
    ('192.0.2.7', '2001:db8::')
    >>> network_of("somebody")
    'unknown'
    """
    with_port = _WITH_PORT.fullmatch(address or "")
    try:
        found = ip_address((with_port[1] or with_port[2]) if with_port else address or "")
    except ValueError:
        return "unknown"
    if not isinstance(found, IPv6Address):
        return str(found)
    if found.ipv4_mapped:
        return str(found.ipv4_mapped)
    host_bits = 128 - _CUSTOMER_BITS
    return str(IPv6Address(int(found) >> host_bits << host_bits))


def _unauthorized() -> Response:
    detail = f"This service answers callers with a key. Send one that it knows in the header {KEY_HEADER}."
    response = problem_response(Problem("unauthorized", detail))
    response.headers["WWW-Authenticate"] = _CHALLENGE
    return response


def _too_many(wait_s: int) -> Response:
    detail = f"This caller has sent more than is allowed for now. Try again in {wait_s} seconds."
    response = problem_response(Problem("rate-limited", detail))
    response.headers["Retry-After"] = str(wait_s)
    return response
