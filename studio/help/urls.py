from django.urls import path

from studio.help import views

app_name = "help"
urlpatterns = [
    path("help/first-hour/", views.first_hour, name="first-hour"),
    path("help/running/", views.running, name="running"),
]
