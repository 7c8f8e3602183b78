from django.urls import include, path

from studio.web.icon import icon

urlpatterns = [
    path("favicon.ico", icon, name="favicon"),
    path("", include("studio.access.urls")),
    path("", include("studio.people.urls")),
    path("", include("studio.lessons.urls")),
    path("", include("studio.backups.urls")),
    path("", include("studio.record.urls")),
    path("", include("studio.help.urls")),
    path("", include("studio.export.urls")),
    path("", include("studio.erasing.urls")),
    path("", include("studio.roster.urls")),
    path("", include("practice.urls")),
]

handler400 = "studio.web.errors.bad_request"
handler403 = "studio.web.errors.forbidden"
handler404 = "studio.web.errors.not_found"
handler500 = "studio.web.errors.server_error"
