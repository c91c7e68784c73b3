"""Celery, told by Django's settings. There are two tasks: one runs a job, one looks what is due."""

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")

app = Celery("nursery")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks(["nursery"])
app.conf.beat_schedule = {"tick": {"task": "nursery.tick", "schedule": 20.0}}
