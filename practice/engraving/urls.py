from django.urls import path

from practice.engraving import views

app_name = "engraving"

urlpatterns = [
    path("engraved/<path:path>.svg", views.engraved, name="engraved"),
    path("sounding/<path:path>.json", views.sounding, name="sounding"),
]
