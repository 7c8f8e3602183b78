from django.urls import path

from practice.plans import views

urlpatterns = [
    path("students/<int:pk>/weeks/", views.weeks, name="weeks"),
]
