import datetime as dt

from django.urls import path, register_converter

from practice.home import grown_ups, link_views, views


class DayConverter:
    """A day as 2026-11-25; anything else is no address."""

    regex = r"\d{4}-\d{2}-\d{2}"

    def to_python(self, value: str) -> dt.date:
        return dt.date.fromisoformat(value)

    def to_url(self, value: dt.date) -> str:
        return value.isoformat()


register_converter(DayConverter, "day")

app_name = "home"
CHILD = "home/<str:token>/<int:pk>/"
urlpatterns = [
    path("home/worker.js", views.worker, name="worker"),
    path("home/<str:token>/", views.day, name="home"),
    path(CHILD, views.day, name="child"),
    path(f"{CHILD}send/", views.send, name="send"),
    path(f"{CHILD}week/", grown_ups.week, name="week"),
    path(f"{CHILD}sheets/<int:assignment_id>.pdf", grown_ups.sheet, name="sheet"),
    path(f"{CHILD}reports/<int:term_id>/", grown_ups.report, name="report"),
    path(f"{CHILD}reports/<int:term_id>.pdf", grown_ups.printed_report, name="report-pdf"),
    path(f"{CHILD}<day:day>/", views.day, name="day"),
    path("weeks/<int:assignment_id>/take-home.html", link_views.take_home, name="take-home"),
    path("families/<int:pk>/home/", link_views.links, name="links"),
    path("families/<int:pk>/home/make/", link_views.link_make, name="link-make"),
    path("students/<int:pk>/home/sheet-link/", link_views.sheet_link_make, name="sheet-link-make"),
    path("home-links/<int:pk>/renew/", link_views.link_renew, name="link-renew"),
    path("home-links/<int:pk>/shut/", link_views.link_revoke, name="link-revoke"),
    path("home-links/<int:pk>/sent/", link_views.link_sent, name="link-sent"),
    path("home-links/<int:pk>/code.svg", link_views.link_code, name="link-code"),
]
