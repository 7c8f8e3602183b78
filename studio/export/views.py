"""The page on which data comes in and goes out; everything as one file; a family's own file."""

from __future__ import annotations

import csv
import io
import tempfile
from typing import IO

from django.conf import settings
from django.contrib import messages
from django.db.models import QuerySet
from django.http import FileResponse, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.http import content_disposition_header
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST

from studio import clock
from studio.erasing.models import SetApart
from studio.export import family_file, placing, writing
from studio.export.forms import FamilyFileForm, TakeInForm
from studio.export.guarding import guarded
from studio.export.packing import ExportTrouble, Manifest
from studio.lessons.models import Lesson
from studio.people.contacts import vcards
from studio.people.guards import own_family
from studio.people.models import Family, Guardian
from studio.record.models import What
from studio.record.noting import note
from studio.web.forms import answer, posted
from studio.web.http import StudioRequest


@require_GET
def data(request: StudioRequest) -> HttpResponse:
    return _page(request, TakeInForm())


def _page(request: StudioRequest, form: TakeInForm) -> HttpResponse:
    context = {
        "form": form,
        "is_empty": placing.is_empty(request.studio),
        "guardians": Guardian.objects.filter(family__studio=request.studio).count(),
        "set_apart": SetApart.objects.filter(studio=request.studio),
    }
    return render(request, "export/data.html", context, status=answer(form))


@never_cache
@require_POST
def everything(request: StudioRequest) -> HttpResponseBase:
    """The whole studio as one zip, written to a file without a name and sent from it."""
    file = _unnamed()
    with writing.one_moment() as alias:
        writing.write(request.studio, file, alias)
    note(request, What.EXPORTED, _("everything"))
    name = slugify(request.studio.name, allow_unicode=True) or "studio"
    return _sent(file, f"{name}-{clock.today(request.studio):%Y-%m-%d}.zip")


@require_POST
def take_in(request: StudioRequest) -> HttpResponse:
    form = TakeInForm(**posted(request))
    if form.is_valid():
        upload = form.cleaned_data["file"]
        try:
            manifest = placing.take_in(request.studio, upload.file, upload.name)
        except ExportTrouble as trouble:
            form.add_error("file", str(trouble))
        else:
            _taken_in(request, manifest)
            return redirect("people:students")
    return _page(request, form)


def _taken_in(request: StudioRequest, manifest: Manifest) -> None:
    rows = sum(manifest.rows.values())
    noted = ngettext("an export of {day}, {n} row", "an export of {day}, {n} rows", rows)
    note(request, What.IMPORTED, noted.format(day=f"{manifest.made:%Y-%m-%d}", n=rows))
    said = ngettext(
        "The export is here: students with everything of theirs, {n} row in all. "
        "Private links have new addresses: hand them out anew.",
        "The export is here: students with everything of theirs, {n} rows in all. "
        "Private links have new addresses: hand them out anew.",
        rows,
    )
    messages.success(request, said.format(n=rows))


@never_cache
@require_GET
def contacts(request: StudioRequest) -> HttpResponse:
    found = Guardian.objects.filter(family__studio=request.studio).order_by("name", "pk")
    note(request, What.EXPORTED, _("everybody’s contacts"))
    return _cards(found, f"{slugify(request.studio.name, allow_unicode=True) or 'studio'}.vcf")


@never_cache
@require_GET
def family_contacts(request: StudioRequest, pk: int) -> HttpResponse:
    family = own_family(request, pk)
    note(request, What.EXPORTED, _("one family’s contacts"), family=family)
    return _cards(Guardian.objects.filter(family=family), f"{_name(family)}.vcf")


@require_GET
def family_data(request: StudioRequest, pk: int) -> HttpResponse:
    """What a family may ask for, and its last page."""
    family = own_family(request, pk)
    context = {"family": family, "form": FamilyFileForm(), "section": "students"}
    return render(request, "export/family_data.html", context)


@never_cache
@require_POST
def family_zip(request: StudioRequest, pk: int) -> HttpResponseBase:
    family = own_family(request, pk)
    form = FamilyFileForm(**posted(request))
    if not form.is_valid():
        context = {"family": family, "form": form, "section": "students"}
        return render(request, "export/family_data.html", context, status=422)
    file = _unnamed()
    family_file.write(family, file, notes=form.cleaned_data["notes"])
    note(request, What.EXPORTED, _("one family’s data"), family=family)
    return _sent(file, f"{_name(family)}.zip")


@never_cache
@require_GET
def set_apart(request: StudioRequest, pk: int) -> HttpResponse:
    """The ledger of an erased family, for the books: figures without names."""
    apart = get_object_or_404(SetApart, pk=pk, studio=request.studio)
    note(request, What.EXPORTED, _("a ledger set apart"))
    text = io.StringIO()
    table = csv.writer(text)
    columns = {
        "student": _("Student"),
        "date": _("Day"),
        "starts": _("Time"),
        "minutes": _("Minutes"),
        "status": _("Status"),
    }
    stands = dict(Lesson.Status.choices)
    table.writerow(columns.values())
    for line in apart.lines:
        cells = [line.get(name, "") for name in columns]
        table.writerow([guarded(str(stands.get(cell, cell))) for cell in cells])
    body = "\ufeff" + text.getvalue()
    return _file(body, "text/csv; charset=utf-8", f"{slugify(apart.label)}.csv")


def _cards(guardians: QuerySet[Guardian], name: str) -> HttpResponse:
    found = guardians.select_related("family").prefetch_related("family__students")
    return _file("".join(vcards(found, clock.now())), "text/vcard; charset=utf-8", name)


def _file(body: str, kind: str, name: str) -> HttpResponse:
    disposition = content_disposition_header(as_attachment=True, filename=name) or "attachment"
    return HttpResponse(body, content_type=kind, headers={"Content-Disposition": disposition})


def _name(family: Family) -> str:
    return slugify(family.name, allow_unicode=True) or f"family-{family.pk}"


def _unnamed() -> IO[bytes]:
    """A file that is gone when it is closed, on the disk that holds the studio."""
    return tempfile.TemporaryFile(dir=settings.DATA_DIR)


def _sent(file: IO[bytes], name: str) -> FileResponse:
    file.seek(0)
    return FileResponse(file, as_attachment=True, filename=name, content_type="application/zip")
