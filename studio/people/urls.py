from django.urls import path

from studio.people import family_views, views

app_name = "people"
urlpatterns = [
    path("students/", views.students, name="students"),
    path("students/add/", family_views.family_add, name="family_add"),
    path("students/sizes/", family_views.sizes, name="sizes"),
    path("students/<int:pk>/", views.student, name="student"),
    path("students/<int:pk>/edit/", views.student_edit, name="student_edit"),
    path("students/<int:pk>/pause/", views.student_pause, name="student_pause"),
    path("students/<int:pk>/come-back/", views.student_come_back, name="student_come_back"),
    path("students/<int:pk>/leave/", views.student_leave, name="student_leave"),
    path("families/<int:pk>/", family_views.family, name="family"),
    path("families/<int:pk>/edit/", family_views.family_edit, name="family_edit"),
    path("families/<int:pk>/students/add/", family_views.student_add, name="student_add"),
    path("families/<int:pk>/guardians/add/", family_views.guardian_add, name="guardian_add"),
    path("guardians/<int:pk>/edit/", family_views.guardian_edit, name="guardian_edit"),
    path("guardians/<int:pk>/remove/", family_views.guardian_remove, name="guardian_remove"),
]
