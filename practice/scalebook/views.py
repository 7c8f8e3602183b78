"""The scale book of one student: chosen on a page, made as PDF."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.utils.formats import date_format
from django.utils.http import content_disposition_header
from django.utils.text import slugify
from django.views.decorators.http import require_http_methods

from practice.figures.key_circle import Known
from practice.music.bowings import pattern_from_json
from practice.repertoire.models import Bowing
from practice.reports.pictures import FONTS
from practice.scalebook.book import Book, book_of
from practice.scalebook.forms import BookForm
from studio import clock
from studio.people.guards import own_student
from studio.people.models import Student
from studio.web.forms import answer, posted
from studio.web.http import StudioRequest
from studio.web.pdf import PrintingMissing, pdf

STYLES = ("scale_book.css",)
CIRCLE_MM = 112.0


@require_http_methods(["GET", "HEAD", "POST"])
def scale_book(request: StudioRequest, pk: int) -> HttpResponse:
    student = own_student(request, pk)
    now = student.scales.filter(until=None).first()
    own = {
        f"own:{row.pk}": pattern_from_json({**row.pattern, "name": row.name})
        for row in Bowing.objects.filter(studio=request.studio)
    }
    initial = {
        "keys": [now.key] if now else [],
        "octaves": now.octaves if now else 2,
        "minor_form": now.form if now and now.form != "major" else "melodic",
        "bowings": [each for each in (now.bowing_1, now.bowing_2) if each] if now else [],
        "arpeggios": ["tonic"],
    }
    form = BookForm(**posted(request), own=own, initial=initial)
    if form.is_valid():
        book = book_of(student, form.wish)
        if book.pages:
            try:
                return _printed(request, student, book)
            except PrintingMissing as trouble:
                form.add_error(None, str(trouble))
        else:
            form.add_error(None, "; ".join(book.missing))
    context = {"form": form, "student": student, "section": "Students"}
    return render(request, "scalebook/choose.html", context, status=answer(form))


def _printed(request: StudioRequest, student: Student, book: Book) -> HttpResponse:
    today = clock.today(request.studio)
    context = {
        "student": student.given_name,
        "teacher": request.studio.teacher,
        "language": "en",
        "paper": request.studio.paper.lower(),
        "date": date_format(today, "j F Y"),
        "book": book,
        "keys": list(dict.fromkeys(page.key for page in book.pages)),
        "circle_words": circle_words(book),
        "circle_height": round(CIRCLE_MM * book.circle.height / book.circle.width, 2),
    }
    drawn = {"chart": book.circle, "fonts": FONTS}
    pictures = book.pictures | {"circle": render_to_string("scalebook/circle.svg", drawn).strip()}
    content = pdf(render_to_string("scalebook/book.html", context), STYLES, pictures)
    name = slugify(f"scale book {student.given_name} {today}", allow_unicode=True)
    response = HttpResponse(content, content_type="application/pdf")
    disposition = content_disposition_header(as_attachment=False, filename=f"{name}.pdf")
    response["Content-Disposition"] = disposition or "inline"
    return response


def circle_words(book: Book) -> str:
    """What the circle shows, in words: "now G major; learnt C major"."""
    found = []
    for known in (Known.NOW, Known.LEARNT):
        keys = [
            f"{peg.sign} {'minor' if peg.minor else 'major'}"
            for peg in book.circle.pegs
            if peg.known == known
        ]
        if keys:
            found.append(f"{known.value} {', '.join(keys)}")
    return f"The circle of fifths: {'; '.join(found) or 'every key still to come'}."
