from django.urls import path

from practice.desk import drop, notes, returned_views, views

app_name = "desk"
urlpatterns = [
    path("", views.today, name="today"),
    path("week/", views.week, name="week"),
    path("students/<int:pk>/returned/", returned_views.paper, name="returned"),
    path("log-files/", drop.drop, name="drop"),
    path("lessons/<int:pk>/notes/", notes.notes, name="notes"),
    path("students/<int:pk>/notes/", notes.notes_of, name="notes-of"),
    path("notes/<int:pk>/reader/", notes.note_reader, name="note-reader"),
    path("notes/<int:pk>/remove/", notes.note_remove, name="note-remove"),
]
