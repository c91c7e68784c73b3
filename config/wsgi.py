"""The web process as the web server calls it."""

import os

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")

from django.core.wsgi import get_wsgi_application

from config.celery import app  # so that a request can tell the workers of the job it wrote
from nursery.services import collector

__all__ = ["app", "application"]

application = get_wsgi_application()

collector.seldom()
