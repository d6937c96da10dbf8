"""What a production setting must not be, and the key that a laptop makes for itself."""

import contextlib
import os
import secrets
from collections.abc import Sequence
from pathlib import Path
from urllib.parse import urlsplit

SHORTEST_KEY = 50


def unsafe_values(
    *, secret_key: str, hosts: Sequence[str], public_url: str, debug: bool, mail_url: str = ""
) -> list[str]:
    """Say what is wrong with the production settings, one sentence each; none is fit to start with.

    Parameters
    ----------
    secret_key
        Signs sessions and links; 50 characters at least.
    hosts
        The host names the shop answers to; no wildcard.
    public_url
        Where browsers find the shop; https only.
    debug
        Django's debug pages; never in production.
    mail_url
        The mail server; a password goes to it encrypted, or to this machine alone.
    """
    found = []
    if len(secret_key) < SHORTEST_KEY or len(set(secret_key)) < 10:
        found.append(f"RIBBAND_SECRET_KEY must be set to at least {SHORTEST_KEY} random characters.")
    if any("*" in host or host.startswith(".") for host in hosts):
        found.append("RIBBAND_HOSTS must name each host; a wildcard would answer to any name.")
    if not public_url.startswith("https://"):
        found.append("RIBBAND_PUBLIC_URL must be the https:// address that browsers use.")
    if debug:
        found.append("RIBBAND_DEBUG must be off: its pages show the shop's settings to anyone.")
    mail = urlsplit(mail_url)
    if mail.scheme == "smtp" and mail.password and mail.hostname not in ("127.0.0.1", "localhost", "::1"):
        found.append("RIBBAND_EMAIL_URL would send its password in the clear: write smtp+tls:// or smtp+ssl://.")
    return found


def laptop_secret_key(file: Path) -> str:
    """Read this laptop's own secret key, making it at first; whoever comes first makes it for all."""
    if not file.exists():
        file.parent.mkdir(parents=True, exist_ok=True)
        draft = file.with_name(f"{file.name}.{os.getpid()}")
        with os.fdopen(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w") as out:
            out.write(secrets.token_urlsafe(64))
        with contextlib.suppress(FileExistsError):
            file.hardlink_to(draft)
        draft.unlink()
    return file.read_text().strip()
