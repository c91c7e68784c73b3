"""Django's settings: one file, read through the environment.

Importing it makes nothing: the folder and its secrets are made by the commands that need them.
"""

import os
import secrets
from pathlib import Path

from config import databases, folder, mail, photos, web
from config.env import Env, SettingWrong
from nursery.services import demo

ENV = Env(os.environ)
ENV.refuse_unknown()

BASE = Path(__file__).absolute().parent.parent
DEMO = ENV.flag("NURSERY_DEMO")
DATA = ENV.path("NURSERY_DATA", folder.default()) / ("demo" if DEMO else "")
BACKUPS = ENV.path("NURSERY_BACKUPS", DATA / "backups")
PRODUCTION = ENV.flag("NURSERY_PRODUCTION")
CLOCK = ENV.instant("NURSERY_CLOCK") or (None if PRODUCTION or not DEMO else demo.opens_at())
CLOCK_SET_AT = ENV.instant("NURSERY_CHILD_CLOCK_SET_AT")
if CLOCK and PRODUCTION:
    raise SettingWrong(
        "NURSERY_CLOCK",
        CLOCK.isoformat(),
        "A server in production (NURSERY_PRODUCTION) has the true time.",
    )
EMBEDDED_QUEUE = not ENV.text("NURSERY_BROKER_URL")
WEB_THREADS = ENV.number("NURSERY_WEB_THREADS", 8, 1, 64)
WORKER_THREADS = ENV.number("NURSERY_WORKER_THREADS", 2, 1, 64)

DEBUG = False
# Before the first start there is no secret yet, and a check or a migration needs none that lasts.
SECRET_KEY = ENV.text("NURSERY_SECRET_KEY") or folder.secret_key(DATA) or secrets.token_urlsafe(64)
# What release files are signed with; where the environment names none, what stands in the file.
SIGNING_KEYS = ENV.names("NURSERY_SIGNING_KEY")
SIGNING_FILE = folder.signing_file(DATA)
PHOTOS = DATA / "photos"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    "photos": photos.storage(ENV),
}
# By what push services know this server, and whom they may write to.
PUSH_KEY = ENV.text("NURSERY_PUSH_KEY")
PUSH_FILE = folder.push_file(DATA)
PUSH_CONTACT = ENV.contact("NURSERY_PUSH_CONTACT")
PUSH_LOOPBACK = ENV.flag("NURSERY_TEST_PUSH_LOOPBACK")

DATABASES = {"default": databases.database(ENV, DATA)}
# Who owns the tables, where that is another role than the one that serves.
DATABASE_OWNER = databases.owner(ENV)
ATOMIC_REQUESTS = False
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
AUTH_USER_MODEL = "store.Account"
QUEUE = databases.queue(ENV)

_MAIL = mail.settings(ENV, DATA, demo=DEMO)
DEFAULT_FROM_EMAIL, EMAIL_TIMEOUT = _MAIL["DEFAULT_FROM_EMAIL"], _MAIL["EMAIL_TIMEOUT"]
EMAIL_BACKEND, EMAIL_FILE_PATH = _MAIL["EMAIL_BACKEND"], _MAIL.get("EMAIL_FILE_PATH")
EMAIL_HOST, EMAIL_PORT = _MAIL.get("EMAIL_HOST", "localhost"), _MAIL.get("EMAIL_PORT", 25)
EMAIL_HOST_USER = _MAIL.get("EMAIL_HOST_USER", "")
EMAIL_HOST_PASSWORD = _MAIL.get("EMAIL_HOST_PASSWORD", "")
EMAIL_USE_TLS = _MAIL.get("EMAIL_USE_TLS", False)
EMAIL_USE_SSL = _MAIL.get("EMAIL_USE_SSL", False)

ADMIN = ENV.flag("NURSERY_ADMIN")
if ADMIN:
    import django_stubs_ext

    django_stubs_ext.monkeypatch()  # so that ModelAdmin[Row] can be written at run time
INSTALLED_APPS = [
    "django.contrib.contenttypes",
    "django.contrib.auth",
    "django.contrib.sessions",
    *(("django.contrib.messages", "django.contrib.admin") if ADMIN else ()),
    "django.contrib.staticfiles",
    "rest_framework",
    "drf_spectacular",
    "nursery.store",
    "nursery.ops",
]
MIDDLEWARE = [
    "config.middleware.named_requests",
    "django.middleware.security.SecurityMiddleware",
    "config.middleware.security_headers",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    *(("django.contrib.messages.middleware.MessageMiddleware",) if ADMIN else ()),
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
]
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                *(("django.contrib.messages.context_processors.messages",) if ADMIN else ()),
            ]
        },
    }
]
ROOT_URLCONF = "config.urls"
WSGI_APPLICATION = "config.wsgi.application"
APPEND_SLASH = False

LANGUAGE_CODE = "en"
USE_I18N = False  # sentences come from the product's own catalogue, one per language
USE_TZ = True
TIME_ZONE = "UTC"  # a nursery has a zone of its own; the server's never matters

PASSWORD_LETTERS = 12  # OWASP ASVS 4.0.3, 2.1.1 (from memory)
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}", "OPTIONS": options}
    for name, options in (
        ("UserAttributeSimilarityValidator", {}),
        ("MinimumLengthValidator", {"min_length": PASSWORD_LETTERS}),
        ("CommonPasswordValidator", {}),
        ("NumericPasswordValidator", {}),
    )
]

# A push is at most 256 KB compressed; unpacked, and as an exported outbox of nine days without
# signal, it is larger than Django's 2.5 MB.
DATA_UPLOAD_MAX_MEMORY_SIZE = 32 * 1024 * 1024

ALLOWED_HOSTS = ENV.names("NURSERY_HOSTS", ("localhost", "127.0.0.1", "[::1]"))
# The origins that a certificate of `nursery up` vouches for; without a proxy then.
ORIGINS = ENV.names("NURSERY_CHILD_ORIGINS")
HTTPS = PRODUCTION or bool(ORIGINS)
# Whoever insists on https could not go back to plain http, which an own authority may have to.
INSISTS = ENV.flag("NURSERY_CHILD_REAL_CERTIFICATE") if ORIGINS else PRODUCTION
CSRF_TRUSTED_ORIGINS = [*ORIGINS, *(f"https://{name}" for name in ALLOWED_HOSTS if PRODUCTION)]
SECURE_SSL_REDIRECT = PRODUCTION
SECURE_REDIRECT_EXEMPT = [r"^healthz$", r"^readyz$"]  # asked by machines inside the proxy
SECURE_HSTS_SECONDS = (
    ENV.number("NURSERY_HSTS_SECONDS", 31_536_000, 0, 63_072_000) if INSISTS else 0
)
SECURE_REFERRER_POLICY = "same-origin"
SESSION_ENGINE = "nursery.store.models.sessions"
# A session that is not used ends: a desk is left on a Friday and found on the Monday after.
SESSION_COOKIE_AGE = 3 * 24 * 3600
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = HTTPS
# By its name a browser takes the first from this host alone, and from no neighbour of its domain.
SESSION_COOKIE_NAME = "__Host-nursery_session" if HTTPS else "nursery_session"
CSRF_COOKIE_NAME = "nursery_csrf"
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Strict"
X_FRAME_OPTIONS = "DENY"
USE_X_FORWARDED_HOST = ENV.flag("NURSERY_PROXY")
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if USE_X_FORWARDED_HOST else None
SILENCED_SYSTEM_CHECKS = [
    # Whether every other name under the domain speaks https is for the domain's owner to say.
    "security.W005",
    "security.W021",
]

WEB_ROOT = web.root(BASE)
STATIC_URL = "/static/"
WHITENOISE_ROOT = WEB_ROOT
WHITENOISE_ALLOW_ALL_ORIGINS = False
WHITENOISE_INDEX_FILE = True
WHITENOISE_USE_FINDERS = ADMIN
WHITENOISE_IMMUTABLE_FILE_TEST = web.is_hashed
WHITENOISE_ADD_HEADERS_FUNCTION = web.add_headers

REST_FRAMEWORK = {
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["nursery.api.json_body.StrictJson"],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "EXCEPTION_HANDLER": "nursery.api.problems.handle",
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Lathhouse",
    "VERSION": "1",
    "SERVE_INCLUDE_SCHEMA": False,
}

LOG_LEVEL = ENV.choice(
    "NURSERY_LOG_LEVEL",
    ("debug", "info", "warning", "error"),
    "info" if PRODUCTION else "warning",
).upper()
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"lines": {"()": "config.logs.Lines"}},
    "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": "lines"}},
    "root": {"handlers": ["stderr"], "level": LOG_LEVEL},
    # Django's own handlers mail tracebacks and colour a console; everything goes one way here.
    "loggers": {"django": {"handlers": [], "level": LOG_LEVEL, "propagate": True}},
}
