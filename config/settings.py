"""Django's settings: one file, read through the environment."""

SECRET_KEY = "not yet"
INSTALLED_APPS: list[str] = []
DATABASES = {"default": {"ENGINE": "django.db.backends.sqlite3", "NAME": ":memory:"}}
USE_TZ = True
