"""Make an API key: ``python -m service.api_key`` prints it for the caller, and its hash for the settings."""

import secrets

from service.api.callers import hash_of_key

__all__ = ["main", "new_key"]

#: Random bytes of a key.
_KEY_BYTES = 32


def new_key() -> str:
    """Return a new key of 256 random bits."""
    return f"hat_{secrets.token_urlsafe(_KEY_BYTES)}"


def main() -> None:
    """Print a new key, and its hash as the settings take it."""
    key = new_key()
    print(f"Give the caller, who sends it as X-API-Key:\n{key}\n")
    print(f"Add to API_KEY_HASHES, separated from others by a comma:\nsha256:{hash_of_key(key)}")


if __name__ == "__main__":
    main()
