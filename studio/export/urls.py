from django.urls import path

from studio.export import views

app_name = "export"
urlpatterns = [
    path("settings/data/", views.data, name="data"),
    path("settings/data/everything/", views.everything, name="everything"),
    path("settings/data/take-in/", views.take_in, name="take_in"),
    path("settings/data/contacts/", views.contacts, name="contacts"),
    path("settings/data/set-apart/<int:pk>/", views.set_apart, name="set_apart"),
    path("families/<int:pk>/data/", views.family_data, name="family_data"),
    path("families/<int:pk>/data/file/", views.family_zip, name="family_zip"),
    path("families/<int:pk>/contacts/", views.family_contacts, name="family_contacts"),
]
