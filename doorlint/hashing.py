"""Digests without OpenSSL, which takes longer to load than a short run takes to hash everything."""

from __future__ import annotations

from typing import Any

__all__ = ["hash_of"]

try:
    from _sha2 import sha256  # type: ignore[import-not-found, unused-ignore]  # Python 3.12 and later
except ImportError:
    try:
        from _sha256 import sha256  # type: ignore[import-not-found, unused-ignore]  # before
    except ImportError:
        from hashlib import sha256  # a Python that is built otherwise


def hash_of(*parts: bytes | str) -> str:
    """SHA-256 of some texts, one behind the other, as 64 hex digits.

    >>> hash_of("a", b"b") == hash_of("ab")
    True
    >>> hash_of("")[:12]
    'e3b0c44298fc'
    """
    total: Any = sha256()
    for part in parts:
        total.update(part.encode("utf-8", "surrogatepass") if isinstance(part, str) else part)
    said: str = total.hexdigest()
    return said
