from django.urls import path

from practice.bench import stands_views, views

urlpatterns = [
    path("students/<int:pk>/bench/", views.bench, name="bench"),
    path("students/<int:pk>/bench/week/", views.preview, name="bench-preview"),
    path("students/<int:pk>/bench/save/", views.save, name="bench-save"),
    path("students/<int:pk>/bench/print/", views.print_sheet, name="bench-print"),
    path("students/<int:pk>/stands/", stands_views.stands, name="bench-stands"),
    path("students/<int:pk>/stands/heard/", stands_views.heard, name="bench-heard"),
]
