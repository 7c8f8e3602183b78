from django.urls import path

from studio.roster import views

app_name = "roster"
urlpatterns = [
    path("settings/roster/", views.roster, name="roster"),
    path("settings/roster/read/", views.read_list, name="read"),
    path("settings/roster/look/", views.look, name="look"),
    path("settings/roster/take/", views.take, name="take"),
    path("settings/roster/<int:pk>/", views.made, name="made"),
    path("settings/roster/<int:pk>/undo/", views.undo, name="undo"),
]
