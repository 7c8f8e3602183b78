from django.urls import path

from practice.desk import returned_views, views

app_name = "desk"
urlpatterns = [
    path("", views.today, name="today"),
    path("week/", views.week, name="week"),
    path("students/<int:pk>/returned/", returned_views.paper, name="returned"),
]
