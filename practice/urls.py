"""Each area of practice brings its own pages."""

from django.urls import include, path

urlpatterns = [
    path("", include("practice.bench.urls")),
    path("", include("practice.bowings.urls")),
    path("", include("practice.desk.urls")),
    path("", include("practice.engraving.urls")),
    path("", include("practice.home.urls")),
    path("", include("practice.plans.urls")),
    path("", include("practice.printing.urls")),
    path("", include("practice.recitals.urls")),
    path("", include("practice.repertoire.urls")),
    path("", include("practice.scalebook.urls")),
    path("", include("practice.scores.urls")),
    path("", include("practice.reports.urls")),
    path("", include("practice.sheets.urls")),
]
