from django.urls import path

from studio.backups import health, views

app_name = "backups"
urlpatterns = [
    path("health/", health.health, name="health"),
    path("settings/backups/", views.backups, name="list"),
    path("settings/backups/make/", views.make, name="make"),
    path("settings/backups/bring/", views.bring, name="bring"),
    path("settings/backups/<str:name>/", views.download, name="download"),
    path("settings/backups/<str:name>/lock/", views.lock, name="lock"),
    path("settings/backups/<str:name>/restore/", views.restore, name="restore"),
]
