from django.urls import path

from studio.access import views

app_name = "access"
urlpatterns = [
    path("sign-in/", views.sign_in, name="sign_in"),
    path("sign-out/", views.sign_out, name="sign_out"),
    path("first-run/", views.first_run, name="first_run"),
    path("settings/", views.settings, name="settings"),
    path("settings/password/", views.password, name="password"),
    path("ticket/<str:token>/", views.use_ticket, name="use_ticket"),
]
