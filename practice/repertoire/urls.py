from django.urls import path

from practice.repertoire import choosing, fingering_views, scale_views, views, works_views

app_name = "repertoire"
urlpatterns = [
    path("repertoire/", works_views.works, name="works"),
    path("repertoire/add/", works_views.work_add, name="work_add"),
    path("repertoire/<int:pk>/", works_views.work, name="work"),
    path("repertoire/<int:pk>/edit/", works_views.work_edit, name="work_edit"),
    path("repertoire/<int:pk>/remove/", works_views.work_remove, name="work_remove"),
    path("repertoire/ideas/", works_views.ideas, name="ideas"),
    path("repertoire/ideas/add/", works_views.idea_add, name="idea_add"),
    path("repertoire/ideas/<int:pk>/edit/", works_views.idea_edit, name="idea_edit"),
    path("repertoire/ideas/<int:pk>/remove/", works_views.idea_remove, name="idea_remove"),
    path("students/<int:pk>/repertoire/", views.of_student, name="of_student"),
    path("students/<int:pk>/pieces/give/", choosing.give, name="give"),
    path("students/<int:pk>/pieces/give/new/", choosing.give_new, name="give_new"),
    path("students/<int:pk>/etude/", choosing.etude, name="etude"),
    path("students/<int:pk>/etude/new/", choosing.etude_new, name="etude_new"),
    path("students/<int:pk>/scale/", scale_views.scale, name="scale"),
    path("students/<int:pk>/scale/picture/", scale_views.scale_preview, name="scale_preview"),
    path("students/<int:pk>/scale/fingers/", fingering_views.fingering, name="fingering"),
    path("students/<int:pk>/favourites/add/", choosing.favourite_add, name="favourite_add"),
    path("favourites/<int:pk>/retire/", views.favourite_retire, name="favourite_retire"),
    path("pieces/<int:pk>/edit/", views.piece_edit, name="piece_edit"),
    path("pieces/<int:pk>/stage/", views.piece_stage, name="piece_stage"),
    path("pieces/<int:pk>/finish/", views.piece_finish, name="piece_finish"),
    path("pieces/<int:pk>/set-aside/", views.piece_set_aside, name="piece_set_aside"),
    path("pieces/<int:pk>/put-back/", views.piece_put_back, name="piece_put_back"),
    path("pieces/<int:pk>/spots/add/", views.spot_add, name="spot_add"),
    path("pieces/<int:pk>/excerpt/", views.excerpt_preview, name="excerpt_preview"),
    path("spots/<int:pk>/edit/", views.spot_edit, name="spot_edit"),
    path("spots/<int:pk>/state/", views.spot_state, name="spot_state"),
    path("spots/<int:pk>/first/", views.spot_first, name="spot_first"),
]
