from django.urls import path

from practice.recitals import order_views, paper_views, piece_views, views

app_name = "recitals"
ONE = "recitals/<int:pk>/"
PIECE = f"{ONE}pieces/<int:piece>/"
urlpatterns = [
    path("recitals/", views.recitals, name="recitals"),
    path("recitals/add/", views.add, name="add"),
    path(ONE, views.recital, name="recital"),
    path(f"{ONE}change/", views.change, name="change"),
    path(f"{ONE}call-off/", views.call_off, name="call-off"),
    path(f"{ONE}hold/", views.hold, name="hold"),
    path(f"{ONE}remove/", views.remove, name="remove"),
    path(f"{ONE}choose/", piece_views.choose, name="choose"),
    path(f"{ONE}lengths/", piece_views.lengths, name="lengths"),
    path(PIECE, piece_views.piece, name="piece"),
    path(f"{PIECE}remove/", piece_views.remove, name="piece-remove"),
    path(f"{PIECE}earlier/", order_views.earlier, name="earlier"),
    path(f"{PIECE}later/", order_views.later, name="later"),
    path(f"{ONE}draft/", order_views.draft, name="draft"),
    path(f"{ONE}interval/add/", order_views.interval_add, name="interval-add"),
    path(f"{ONE}interval/remove/", order_views.interval_remove, name="interval-remove"),
    path(f"{ONE}interval/earlier/", order_views.interval_earlier, name="interval-earlier"),
    path(f"{ONE}interval/later/", order_views.interval_later, name="interval-later"),
    path(f"{ONE}programme.pdf", paper_views.programme, name="programme-pdf"),
    path(f"{ONE}invitation.ics", paper_views.invitation, name="invitation"),
    path(f"{ONE}thanks/", paper_views.thanks, name="thanks"),
    path(f"{ONE}thanks.pdf", paper_views.all_thanks_pdf, name="thanks-pdf"),
    path(f"{ONE}thanks/<int:student>.pdf", paper_views.one_thanks_pdf, name="thanks-one-pdf"),
]
