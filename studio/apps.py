from django.apps import AppConfig
from django.utils import translation

from studio import language


class StudioConfig(AppConfig):
    name = "studio"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        language.install(translation)
