from django.urls import path

from studio.erasing import views

app_name = "erasing"
urlpatterns = [path("families/<int:pk>/erase/", views.erase_family, name="family")]
