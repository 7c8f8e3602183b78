from django.urls import path

from practice.sheets import views

urlpatterns = [
    path("weeks/<int:assignment_id>/sheet.pdf", views.sheet, name="sheet-pdf"),
    path(
        "weeks/<int:assignment_id>/sheet-<int:edition>.pdf",
        views.sheet_edition,
        name="sheet-edition",
    ),
    path("weeks/<int:assignment_id>/print/", views.print_again, name="sheet-print"),
]
