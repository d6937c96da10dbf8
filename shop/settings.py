"""Every setting, each read from the environment (RIBBAND_*) with a default that works on a laptop.

With RIBBAND_PRODUCTION=1 an unsafe value stops the start: see `shop.production`.
"""

from datetime import timedelta
from pathlib import Path
from urllib.parse import urlsplit

import environ
from celery.schedules import crontab
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

from shop.production import laptop_secret_key, unsafe_values
from shop.storage import photo_storage

BASE_DIR = Path(__file__).resolve().parent.parent
env = environ.Env()

# --- Where the shop keeps its things, and how it is reached
VAR_DIR = Path(env.str("RIBBAND_VAR", default=str(BASE_DIR / "var")))
PRODUCTION = env.bool("RIBBAND_PRODUCTION", default=False)
DEBUG = env.bool("RIBBAND_DEBUG", default=False)
PUBLIC_URL = env.str("RIBBAND_PUBLIC_URL", default="http://127.0.0.1:8000").rstrip("/")
PUBLIC_HOST = urlsplit(PUBLIC_URL).hostname or ""
HOSTS = env.list("RIBBAND_HOSTS", default=[])
ALLOWED_HOSTS = [*dict.fromkeys([*HOSTS, PUBLIC_HOST, "127.0.0.1", "localhost", "[::1]"])]
TRUSTED_PROXIES = env.list("RIBBAND_TRUSTED_PROXIES", default=[])  # read in shop.wsgi
SECRET_KEY = env.str("RIBBAND_SECRET_KEY", default="")
if not SECRET_KEY and not PRODUCTION:
    SECRET_KEY = laptop_secret_key(VAR_DIR / "secret-key")
MAIL_URL = env.str("RIBBAND_EMAIL_URL", default="")
unsafe = unsafe_values(secret_key=SECRET_KEY, hosts=HOSTS, public_url=PUBLIC_URL, debug=DEBUG, mail_url=MAIL_URL)
if PRODUCTION and unsafe:
    raise ImproperlyConfigured("Not starting in production: " + " ".join(unsafe))

# --- What it is made of
ROOT_URLCONF = "shop.urls"
WSGI_APPLICATION = "shop.wsgi.application"
AUTH_USER_MODEL = "shop.CrewMember"
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
INSTALLED_APPS = [
    "shop",
    "hulls",
    "stages",
    "django.contrib.admin",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.contrib.humanize",
    "django_htmx",
    "template_partials",
    "axes",
    "csp",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.middleware.gzip.GZipMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "shop.middleware.AtTheShop",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "shop.log_in_again.KeepsWhatWasTyped",
    "axes.middleware.AxesMiddleware",
]
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    },
]

# --- The database: SQLite at first, PostgreSQL for a shop that outgrows one machine
DATABASES = {"default": env.db_url("RIBBAND_DATABASE_URL", default=f"sqlite:///{VAR_DIR / 'ribband.sqlite3'}")}
DATABASES["default"] |= {"CONN_MAX_AGE": 600, "CONN_HEALTH_CHECKS": True}
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    # IMMEDIATE: a transaction that reads first and writes later would fail at once where another wrote in between.
    # FULL: a power cut loses no record that was answered. Every atomic() takes the write lock: no slow work inside.
    DATABASES["default"]["OPTIONS"] = {
        "timeout": 20,
        "transaction_mode": "IMMEDIATE",
        "init_command": "PRAGMA journal_mode=WAL;PRAGMA synchronous=FULL;PRAGMA cache_size=-16000;",
    }

# --- Background work: Celery; the message is a hint, the job's row is the truth (shop.models.jobs)
CELERY_BROKER_URL = env.str("RIBBAND_BROKER_URL", default="filesystem://localhost//")
CELERY_TASK_IGNORE_RESULT = True
CELERY_WORKER_HIJACK_ROOT_LOGGER = False
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_BEAT_SCHEDULE_FILENAME = str(VAR_DIR / "beat-schedule")
if CELERY_BROKER_URL.startswith("filesystem://"):
    CELERY_BROKER_TRANSPORT_OPTIONS = {
        "data_folder_in": str(VAR_DIR / "broker" / "messages"),
        "data_folder_out": str(VAR_DIR / "broker" / "messages"),
        "control_folder": str(VAR_DIR / "broker" / "control"),
        "polling_interval": 0.2,
    }
else:
    # A Redis that is away or hangs must not hold up the page that hints at it; the sweep makes up for the hint.
    CELERY_BROKER_TRANSPORT_OPTIONS = {"max_retries": 0, "socket_connect_timeout": 2, "socket_timeout": 3}
CELERY_BEAT_SCHEDULE = {
    # A sweep that waited longer than this is worth nothing: the next one is behind it.
    "sweep": {"task": "shop.jobs.sweep", "schedule": 2.0, "options": {"expires": 10}},
    # Every hour: time passes and the air changes without a tap.
    "plan": {"task": "shop.jobs.hourly", "schedule": crontab(minute=10), "args": ["plan"]},
    # Once a day, each by the job of that name.
    "audit": {"task": "shop.jobs.daily", "schedule": crontab(hour=3, minute=0), "args": ["audit"]},
    "photos": {"task": "shop.jobs.daily", "schedule": crontab(hour=3, minute=20), "args": ["photos"]},
    "letters": {"task": "shop.jobs.daily", "schedule": crontab(hour=2, minute=40), "args": ["letters"]},
}
JOB_LEASE = timedelta(seconds=env.int("RIBBAND_JOB_LEASE_SECONDS", default=60))  # renewed while its worker lives
JOB_ATTEMPTS = env.int("RIBBAND_JOB_ATTEMPTS", default=5)

# --- Mail: off until there is a server to give it to
if MAIL_URL:
    vars().update({name: value for name, value in env.email_url("RIBBAND_EMAIL_URL").items() if name != "OPTIONS"})
MAIL_FROM = env.str("RIBBAND_EMAIL_FROM", default="")  # empty is the shop's own address
EMAIL_TIMEOUT = 10  # a letter asks the server some six things: all of them hang and it is still within a lease

# --- People
LOGIN_URL = "/login/"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "/login/"
AUTHENTICATION_BACKENDS = ["axes.backends.AxesStandaloneBackend", "django.contrib.auth.backends.ModelBackend"]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator"},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]
AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = timedelta(minutes=15)
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_RESET_ON_SUCCESS = True
AXES_LOCKOUT_CALLABLE = "shop.views.people.locked_out"
AXES_VERBOSE = False
SESSION_ENGINE = "django.contrib.sessions.backends.db"
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_AGE = 30 * 24 * 3600  # a log-in's own time hangs on its role: shop.services.people

# --- Language and time; a shop's own time zone is a field of the shop
LANGUAGE_CODE = "en"
LANGUAGES = [("en", "English"), ("fr", "Français")]  # the second for what boats' owners read
LOCALE_PATHS = [BASE_DIR / "shop" / "locale"]
USE_I18N = True
USE_TZ = True
TIME_ZONE = env.str("RIBBAND_TIME_ZONE", default="UTC")

# --- Files
STATIC_URL = "/static/"
STATIC_ROOT = VAR_DIR / "static"
STATICFILES_DIRS = [BASE_DIR / "static"]
MEDIA_ROOT = VAR_DIR / "media"
MEDIA_URL = "/media/"
FILE_UPLOAD_HANDLERS = ["shop.uploads.BoundedUpload"]
LARGEST_UPLOAD = 48 * 1024 * 1024  # of one file; what is past it never reaches memory or disk
DATA_UPLOAD_MAX_NUMBER_FILES = 400  # past what the form of photos takes, so that the form can say so
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "photos": photo_storage(
        bucket=env.str("RIBBAND_S3_BUCKET", default=""),
        endpoint=env.str("RIBBAND_S3_ENDPOINT", default=""),
        region=env.str("RIBBAND_S3_REGION", default=""),
        key=env.str("RIBBAND_S3_KEY", default=""),
        secret=env.str("RIBBAND_S3_SECRET", default=""),
    ),
    "staticfiles": {"BACKEND": "shop.static_files.HashedFiles"},
}

# --- What browsers may do
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:", "blob:"],
        "manifest-src": [SELF],
        "worker-src": [SELF],
        "object-src": [NONE],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
        "form-action": [SELF],
    }
}
X_FRAME_OPTIONS = "DENY"
DATA_UPLOAD_MAX_NUMBER_FIELDS = 5000  # a route's stages are sent in one form, some 25 fields each
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CONTENT_TYPE_NOSNIFF = True
if PRODUCTION:
    CSRF_TRUSTED_ORIGINS = [PUBLIC_URL]
    CSRF_COOKIE_SECURE = SESSION_COOKIE_SECURE = True
    SECURE_SSL_REDIRECT = True
    SECURE_REDIRECT_EXEMPT = [r"^healthz$"]  # asked on the machine itself, where there is no TLS
    SECURE_HSTS_SECONDS = env.int("RIBBAND_HSTS_SECONDS", default=31_536_000)
    SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = True

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["console"], "level": env.str("RIBBAND_LOG_LEVEL", default="WARNING")},
    "loggers": {
        "django": {"handlers": [], "level": "WARNING", "propagate": True},
        # A refused form and an unknown address are the day's business, and an address may hold a boat owner's token.
        "django.request": {"level": "ERROR"},
    },
}
