from django.urls import path

from studio.record import views

app_name = "record"
urlpatterns = [path("settings/record/", views.record, name="record")]
