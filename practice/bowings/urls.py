from django.urls import path

from practice.bowings import views

app_name = "bowings"
urlpatterns = [
    path("bowings/", views.bowings, name="bowings"),
    path("bowings/make/", views.make, name="make"),
    path("bowings/<int:pk>/edit/", views.edit, name="edit"),
    path("bowings/<int:pk>/remove/", views.remove, name="remove"),
]
