from django.urls import path

from practice.printing import views

app_name = "printing"
urlpatterns = [
    path("printing/", views.jobs, name="jobs"),
    path("printing/sheets/", views.print_sheets, name="sheets"),
    path("printing/reports/<int:term_id>/", views.print_reports, name="reports"),
    path("printing/<uuid:pk>/", views.job, name="job"),
    path("printing/<uuid:pk>/cancel/", views.cancel, name="cancel"),
    path("printing/<uuid:pk>/throw-away/", views.throw_away, name="throw-away"),
    path("printing/<uuid:pk>/all.pdf", views.all_pdf, name="pdf"),
    path("printing/<uuid:pk>/single-files.zip", views.all_zip, name="zip"),
]
