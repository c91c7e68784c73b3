"""Celery, told by Django's settings. There are two tasks: one runs a job, one looks what is due."""

import os

from celery import Celery
from django.conf import settings

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")

app = Celery("nursery")
app.conf.update(settings.QUEUE)
app.autodiscover_tasks(["nursery"])
app.conf.beat_schedule = {"tick": {"task": "nursery.tick", "schedule": 20.0}}
