from django.apps import AppConfig


class PracticeConfig(AppConfig):
    name = "practice"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from practice.logs import forgetting as logs_forgetting
        from practice.printing import forgetting, worker
        from practice.recitals import parting

        logs_forgetting.watch()
        forgetting.watch()
        parting.watch()
        worker.begin_with_first_request()
