"""The laptop's settings, made quick: a throw-away place for files, static files served as they lie, a cheap hasher."""

import os
import tempfile

os.environ.setdefault("RIBBAND_VAR", tempfile.mkdtemp(prefix="ribband-tests-"))
os.environ.setdefault("RIBBAND_SECRET_KEY", "only-for-the-tests-" + "0123456789abcdef" * 4)

from shop.settings import *  # noqa: F403
from shop.settings import INSTALLED_APPS, MIDDLEWARE, STORAGES

# live_server serves static files from their sources; hashed names would be 404 and the pages would stand there naked.
STORAGES = STORAGES | {"staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}}
MIDDLEWARE = [name for name in MIDDLEWARE if not name.startswith("whitenoise.")]
INSTALLED_APPS = [*INSTALLED_APPS]
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
CELERY_BROKER_URL = "memory://"
CELERY_BROKER_TRANSPORT_OPTIONS = {}
