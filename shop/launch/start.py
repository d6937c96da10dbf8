"""`manage.py start`: web, worker and beat in one process tree on this machine alone."""

import argparse
import errno
import fcntl
import os
import socket
import sys
import time
import urllib.request
from pathlib import Path
from typing import IO
from urllib.error import URLError

from shop.launch.tree import run_tree

HOST = "127.0.0.1"
DEFAULT_PORT = 8000
ANSWER_WITHIN_S = 60


def start(arguments: list[str]) -> None:
    """Prepare the data, serve until Ctrl-C, and leave nothing running."""
    options = parse(arguments)
    address = f"http://{HOST}:{options.port}"
    os.environ.setdefault("RIBBAND_PUBLIC_URL", address)

    import django
    from django.conf import settings

    django.setup()
    from shop.launch import data

    lock = sole_start(settings.VAR_DIR, address)
    refuse_taken_port(options.port)
    if options.fresh:
        data.clear()
    data.prepare()
    run_tree(commands(options.port), when_started=lambda: announce(address, settings.VAR_DIR / data.LOGINS))
    lock.close()


def parse(arguments: list[str]) -> argparse.Namespace:
    """Read the command line of `start`."""
    parser = argparse.ArgumentParser(prog="manage.py start", description=__doc__)
    parser.add_argument(
        "--port", type=port_number, default=DEFAULT_PORT, metavar="N", help=f"on {HOST}; {DEFAULT_PORT} unless told"
    )
    parser.add_argument("--fresh", action="store_true", help="begin again with an empty var/ and the demo shop")
    return parser.parse_args(arguments)


def port_number(text: str) -> int:
    """Read a port that can be listened on by its number."""
    if not text.isascii() or not text.isdigit() or not 1 <= int(text) <= 65535:
        raise argparse.ArgumentTypeError(f"{text} is no port; a port is a number from 1 to 65535")
    return int(text)


def sole_start(var: Path, address: str) -> IO[str]:
    """Hold the data's lock for as long as the returned file is open; refuse where another start holds it."""
    var.mkdir(parents=True, exist_ok=True)
    lock = (var / "start.lock").open("a+")
    try:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        lock.seek(0)
        sys.exit(f"Ribband is already running on the data in {var}, at {lock.read().strip()}/")
    lock.truncate(0)
    lock.write(address)
    lock.flush()
    return lock


def refuse_taken_port(port: int) -> None:
    """End with a sentence where the port cannot be listened on; the web server would only try again and again."""
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except OSError as error:
            reason = "another program listens there" if error.errno == errno.EADDRINUSE else error.strerror
            sys.exit(f"Cannot listen on {HOST}:{port}: {reason}. Choose another port with --port.")


def commands(port: int) -> dict[str, list[str]]:
    """Name the three processes; one worker thread does one job at a time, which suits SQLite."""
    celery = [sys.executable, "-W", "ignore:You're running the worker", "-m", "celery", "-q", "-A", "shop"]
    web = [sys.executable, "-m", "granian", "--interface", "wsgi", "--host", HOST, "--port", str(port)]
    quiet = ["--no-ws", "--log-level", "warning", "--respawn-failed-workers", "--workers-kill-timeout", "5"]
    return {
        "web server": [*web, "--workers", "2", "--blocking-threads", "4", *quiet, "shop.wsgi:application"],
        "worker": [*celery, "worker", "-P", "solo", "--without-gossip", "--without-mingle", "-l", "WARNING"],
        "clock": [*celery, "beat", "-l", "WARNING"],
    }


def announce(address: str, logins: Path) -> None:
    """Say where the shop is, once it answers there."""
    until = time.monotonic() + ANSWER_WITHIN_S
    while time.monotonic() < until:
        try:
            with urllib.request.urlopen(f"{address}/healthz", timeout=5):
                break
        except (URLError, OSError):
            time.sleep(0.1)
    else:
        print(f"The web server does not answer on {address}/ yet.", file=sys.stderr, flush=True)
        return
    print(f"\nRibband is at {address}/", flush=True)
    if logins.exists():
        print(logins.read_text().rstrip().replace("{address}", address), flush=True)
    print("Stop with Ctrl-C.", flush=True)
