from django.urls import path

from studio.lessons import (
    busy_views,
    calendar_views,
    change_views,
    day_views,
    feed_views,
    ledger_views,
    slot_views,
    term_views,
    zone_views,
)

app_name = "lessons"
DAY = "<int:year>/<int:month>/<int:day>/"
looking = [
    path("calendar/", calendar_views.week, name="calendar"),
    path(f"calendar/week/{DAY}", calendar_views.week, name="week"),
    path("calendar/month/", calendar_views.month, name="this-month"),
    path("calendar/month/<int:year>/<int:month>/", calendar_views.month, name="month"),
    path(f"calendar/day/{DAY}", day_views.day, name="day"),
    path(f"calendar/day/{DAY}off/", day_views.off, name="day-off"),
    path("calendar/make-ups/", day_views.make_ups, name="make-ups"),
    path("calendar/rules/", day_views.rules, name="rules"),
    path("calendar/zone/", zone_views.zone, name="zone"),
]
lessons = [
    path("lessons/add/", day_views.add, name="lesson-add"),
    path("lessons/<int:pk>/", change_views.lesson, name="lesson"),
    path("lessons/<int:pk>/move/", change_views.move, name="lesson-move"),
    path("lessons/<int:pk>/cancel/", change_views.cancel, name="lesson-cancel"),
    path("lessons/<int:pk>/keep/", change_views.keep, name="lesson-keep"),
    path("lessons/<int:pk>/miss/", change_views.miss, name="lesson-miss"),
    path("lessons/<int:pk>/plan-again/", change_views.plan_again, name="lesson-plan-again"),
    path("lessons/<int:pk>/make-up/", change_views.make_up, name="lesson-make-up"),
    path("lessons/<int:pk>/let-go/", change_views.let_go, name="lesson-let-go"),
    path("lessons/<int:pk>/grant/", change_views.grant, name="lesson-grant"),
    path("lessons/<int:pk>/swap/", change_views.swap, name="lesson-swap"),
]
slots = [
    path("calendar/weekly/", slot_views.slots, name="slots"),
    path("calendar/weekly/add/", slot_views.add, name="slot-add"),
    path("calendar/weekly/absent/", slot_views.absent_out, name="absent-out"),
    path("calendar/weekly/<int:pk>/", slot_views.change, name="slot-change"),
    path("calendar/weekly/<int:pk>/end/", slot_views.end, name="slot-end"),
]
terms = [
    path("calendar/terms/", term_views.terms, name="terms"),
    path("calendar/terms/add/", term_views.term_add, name="term-add"),
    path("calendar/terms/<int:pk>/edit/", term_views.term_edit, name="term-edit"),
    path("calendar/terms/<int:pk>/fill/", term_views.term_fill, name="term-fill"),
    path("calendar/terms/<int:pk>/remove/", term_views.term_remove, name="term-remove"),
    path("calendar/closures/add/", term_views.closure_add, name="closure-add"),
    path("calendar/closures/holidays/", term_views.holidays, name="holidays"),
    path("calendar/closures/<int:pk>/remove/", term_views.closure_remove, name="closure-remove"),
    path("calendar/terms/<int:pk>/ledger/", ledger_views.ledger, name="ledger"),
    path("calendar/terms/<int:pk>/wall.pdf", ledger_views.wall_pdf, name="wall-pdf"),
    path("calendar/terms/<int:pk>/families.pdf", ledger_views.families_pdf, name="families-pdf"),
    path(
        "calendar/terms/<int:pk>/families/<int:family_pk>/",
        ledger_views.statement,
        name="statement",
    ),
    path(
        "calendar/terms/<int:pk>/families/<int:family_pk>/statement.pdf",
        ledger_views.statement_pdf,
        name="statement-pdf",
    ),
    path(
        "calendar/terms/<int:pk>/families/<int:family_pk>/term.pdf",
        ledger_views.family_pdf,
        name="family-pdf",
    ),
]
FAMILY = "calendar/families/<int:pk>/"
feeds = [
    path("calendars/<str:token>/lessons.ics", feed_views.by_address, name="feed"),
    path("calendars/<str:token>/", feed_views.address_page, name="feed-page"),
    path("calendar/lessons.ics", feed_views.studio_file, name="studio-file"),
    path("calendar/addresses/", feed_views.address_list, name="addresses"),
    path("calendar/addresses/missing/", feed_views.make_missing, name="addresses-missing"),
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
    path(FAMILY, feed_views.family_address, name="family-address"),
    path(f"{FAMILY}renew/", feed_views.family_address_renew, name="family-address-renew"),
    path(f"{FAMILY}revoke/", feed_views.family_address_revoke, name="family-address-revoke"),
    path(f"{FAMILY}code.svg", feed_views.family_code, name="family-code"),
    path(f"{FAMILY}lessons.ics", feed_views.family_file, name="family-file"),
]
busy = [
    path("calendar/busy/", busy_views.busy, name="busy"),
    path("calendar/busy/preview/", busy_views.busy_preview, name="busy-preview"),
    path("calendar/busy/take/", busy_views.busy_take, name="busy-take"),
    path("calendar/busy/forget/", busy_views.busy_forget, name="busy-forget"),
]
urlpatterns = [*looking, *lessons, *slots, *terms, *feeds, *busy]
