"""What must be in place before the shop is served: tables, static files, and a demo shop in an empty database."""

import hashlib
import io
import shutil
import sys
from pathlib import Path

from django.conf import settings
from django.contrib.auth import get_user_model
from django.contrib.staticfiles.finders import get_finders
from django.core.management import call_command
from django.db import connections

LOGINS = "demo-logins.txt"  # written by load_demo, shown at the start
DATABASE = "ribband.sqlite3"
MADE_HERE = (DATABASE, f"{DATABASE}-*", "media", "broker", "beat-schedule*", LOGINS)


def clear() -> None:
    """Remove the database, the photos and the broker's messages under var/; nothing else, and nothing elsewhere."""
    if Path(str(settings.DATABASES["default"]["NAME"])) != settings.VAR_DIR / DATABASE:
        sys.exit("--fresh clears var/ only, and RIBBAND_DATABASE_URL names a database elsewhere.")
    for path in [path for pattern in MADE_HERE for path in settings.VAR_DIR.glob(pattern)]:
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)
        else:
            path.unlink()


def prepare() -> None:
    """Bring tables and static files up to date, and load the demo shop where nobody works yet."""
    if settings.CELERY_BROKER_URL.startswith("filesystem://"):
        for folder in ("messages", "control"):
            (settings.VAR_DIR / "broker" / folder).mkdir(parents=True, exist_ok=True)
    call_command("migrate", verbosity=0)
    collect_static()
    if not get_user_model().objects.exists():
        print("Loading the demo shop", flush=True)
        call_command("load_demo", stdout=io.StringIO())  # the start prints the log-ins itself, each time
    connections.close_all()


def collect_static() -> None:
    """Copy, hash and compress the static files, if any changed since the last time."""
    stamp = Path(settings.STATIC_ROOT) / "collected"
    wanted = static_digest()
    if not stamp.exists() or stamp.read_text() != wanted:
        call_command("collectstatic", verbosity=0, interactive=False, clear=True)
        stamp.write_text(wanted)


def static_digest() -> str:
    """Hash the names, sizes and times of all static files."""
    digest = hashlib.sha256()
    for finder in get_finders():
        for name, storage in finder.list([]):
            status = Path(storage.path(name)).stat()
            digest.update(f"{name} {status.st_size} {status.st_mtime_ns}\n".encode())
    return digest.hexdigest()
