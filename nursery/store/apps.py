from django.apps import AppConfig


class StoreConfig(AppConfig):
    name = "nursery.store"
    label = "store"
    default_auto_field = "django.db.models.BigAutoField"
