from django.apps import AppConfig
from django.core.checks import register


class OpsConfig(AppConfig):
    name = "nursery.ops"
    label = "ops"

    def ready(self) -> None:
        from nursery.ops import checks  # noqa: PLC0415  models are loaded first

        register(checks.isolated, deploy=True)
