from django.urls import path

from practice.bench import views

urlpatterns = [
    path("students/<int:pk>/bench/", views.bench, name="bench"),
    path("students/<int:pk>/bench/week/", views.preview, name="bench-preview"),
    path("students/<int:pk>/bench/save/", views.save, name="bench-save"),
    path("students/<int:pk>/bench/print/", views.print_sheet, name="bench-print"),
]
