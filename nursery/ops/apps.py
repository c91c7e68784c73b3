from django.apps import AppConfig


class OpsConfig(AppConfig):
    name = "nursery.ops"
    label = "ops"
