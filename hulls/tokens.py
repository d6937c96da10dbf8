"""The secret in a progress link: made here, and only its hash is kept."""

import secrets
from hashlib import sha256

TOKEN_BYTES = 16  # 128 random bits


def new_token() -> str:
    """Make a token of 128 random bits, fit for an address."""
    return secrets.token_urlsafe(TOKEN_BYTES)


def token_hash(token: str) -> str:
    """Return what is kept of a token (SHA-256 in hex; 128 random bits need no salt and no slow hash)."""
    return sha256(token.encode()).hexdigest()
