from django.urls import path

from practice.scalebook import views

app_name = "scalebook"
urlpatterns = [path("students/<int:pk>/scale-book/", views.scale_book, name="book")]
