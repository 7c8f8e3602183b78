from django.urls import path

from practice.desk import views

app_name = "desk"
urlpatterns = [
    path("", views.today, name="today"),
    path("week/", views.week, name="week"),
]
