from django.urls import path

from studio.lessons import feed_views

app_name = "lessons"
urlpatterns = [
    path("calendars/<str:token>/lessons.ics", feed_views.by_address, name="feed"),
    path("calendar/lessons.ics", feed_views.studio_file, name="studio-file"),
    path("calendar/addresses/", feed_views.address_list, name="addresses"),
    path(
        "calendar/addresses/mine/renew/",
        feed_views.teacher_address_renew,
        name="teacher-address-renew",
    ),
    path(
        "calendar/addresses/mine/revoke/",
        feed_views.teacher_address_revoke,
        name="teacher-address-revoke",
    ),
    path("calendar/families/<int:pk>/", feed_views.family_address, name="family-address"),
    path(
        "calendar/families/<int:pk>/renew/",
        feed_views.family_address_renew,
        name="family-address-renew",
    ),
    path(
        "calendar/families/<int:pk>/revoke/",
        feed_views.family_address_revoke,
        name="family-address-revoke",
    ),
    path("calendar/families/<int:pk>/code.svg", feed_views.family_code, name="family-code"),
    path("calendar/families/<int:pk>/lessons.ics", feed_views.family_file, name="family-file"),
]
