from django.urls import path

from practice.scalebook import views

app_name = "scalebook"
urlpatterns = [
    path("students/<int:pk>/scale-book/", views.of_student, name="book"),
    path("repertoire/scale-book/", views.of_studio, name="studio"),
]
