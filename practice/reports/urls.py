from django.urls import path

from practice.reports import history_views, paper_views, views, year_views

app_name = "reports"
ONE = "reports/<int:term_id>/<int:student_id>/"
urlpatterns = [
    path("students/<int:student_id>/history/", history_views.history, name="history"),
    path("students/<int:student_id>/history.pdf", history_views.history_pdf, name="history-pdf"),
    path(
        "students/<int:student_id>/to-take-along.pdf", history_views.moving_pdf, name="moving-pdf"
    ),
    path("students/<int:student_id>/report/", views.latest, name="latest"),
    path("reports/year/", year_views.year, name="this-year"),
    path("reports/year/<slug:kind>/<int:first>/", year_views.year, name="year"),
    path("reports/year/<slug:kind>/<int:first>/year.pdf", year_views.year_pdf, name="year-pdf"),
    path("reports/", views.term, name="term"),
    path("reports/<int:term_id>/", views.term, name="of-term"),
    path("reports/<int:term_id>/give/", views.give_all, name="give-all"),
    path(ONE, views.report, name="report"),
    path(f"{ONE}draft/", views.draft, name="draft"),
    path(f"{ONE}start/", views.start, name="start"),
    path(f"{ONE}give/", views.give_one, name="give"),
    path(f"{ONE}correct/", views.correct_one, name="correct"),
    path(f"{ONE}report.pdf", paper_views.pdf, name="pdf"),
    path(f"{ONE}edition-<int:edition>.pdf", paper_views.edition_pdf, name="edition-pdf"),
]
