"""Each area of practice brings its own pages."""

from django.urls import include, path

urlpatterns = [
    path("", include("practice.repertoire.urls")),
]
