from django.apps import AppConfig
from django.db.backends.signals import connection_created


class StoreConfig(AppConfig):
    name = "nursery.store"
    label = "store"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from nursery.store import isolation  # noqa: PLC0415  models are loaded first

        connection_created.connect(isolation.attach)
