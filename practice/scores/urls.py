from django.urls import path

from practice.scores import views

app_name = "scores"
urlpatterns = [
    path("repertoire/<int:pk>/score/", views.add, name="add"),
    path("pieces/<int:pk>/score/", views.of_piece, name="of_piece"),
    path("scores/<int:pk>/", views.score, name="score"),
    path("scores/<int:pk>/page-<int:number>.svg", views.page, name="page"),
    path("scores/<int:pk>/leaf-<int:number>/", views.leaf, name="leaf"),
    path("scores/<int:pk>/bars/", views.bars, name="bars"),
    path("scores/<int:pk>/spot/", views.spot_add, name="spot_add"),
    path("scores/<int:pk>/etude/", views.etude, name="etude"),
    path("scores/<int:pk>/file/", views.file, name="file"),
    path("scores/<int:pk>/remove/", views.remove, name="remove"),
]
