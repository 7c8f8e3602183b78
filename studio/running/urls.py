from django.urls import path

from studio.running import health

app_name = "running"
urlpatterns = [path("health/", health.health, name="health")]
