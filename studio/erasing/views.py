"""The last page of a family: what goes, what stays, and the password."""

from __future__ import annotations

from functools import partial

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from studio.access import throttle
from studio.access.limits import BY_ACCOUNT
from studio.access.rights import is_alone
from studio.backups import keeping
from studio.backups.keeping import Why
from studio.erasing import erase
from studio.erasing.erase import Trace
from studio.erasing.forms import EraseForm
from studio.people.guards import own_family
from studio.people.models import Family
from studio.record.models import What
from studio.record.noting import note
from studio.running.trouble import Trouble
from studio.web.forms import posted
from studio.web.http import StudioRequest


@never_cache
@sensitive_post_parameters("old_password")
@require_http_methods(["GET", "HEAD", "POST"])
def erase_family(request: StudioRequest, pk: int) -> HttpResponse:
    """What goes and what stays; then, with `?look`, where else the names stand, and the deed.

    Every text of the studio is looked through for that: seconds, where there are many years.
    """
    family = own_family(request, pk)
    alone = is_alone()
    backups = keeping.all_backups() if alone else []
    page = {
        "family": family,
        "goes": erase.goes(family),
        "backups": len(backups),
        "is_alone": alone,
        "section": "students",
    }
    form = partial(EraseForm, **posted(request), user=request.user, backups=len(backups))
    if request.method != "POST":
        if "look" in request.GET:
            page["form"] = form(found=erase.traces_of(family))
        return render(request, "erasing/family.html", page)
    if throttle.spend("password", str(request.user.pk), BY_ACCOUNT):
        refused = form(found=erase.traces_of(family))
        refused.add_error(None, _("Too many tries. Wait some minutes. Nothing was changed."))
        return render(request, "erasing/family.html", page | {"form": refused}, status=429)
    # Whatever the family is known by may be ticked: nothing needs to be looked for again.
    sent = form(found=[Trace(term) for term in erase.terms(family)])
    if not sent.is_valid():
        if "old_password" in sent.errors:
            note(request, What.PASSWORD_REFUSED, _("to erase a family"), family=family)
        page["form"] = form(found=erase.traces_of(family))
        return render(request, "erasing/family.html", page, status=422)
    _erase(request, family, sent)
    if sent.cleaned_data.get("let_go"):
        _renew_backups(request, backups)
    return redirect("people:students")


def _erase(request: StudioRequest, family: Family, form: EraseForm) -> None:
    given, students = form.cleaned_data, family.students.count()
    detail = ngettext("a family of {n} student", "a family of {n} students", students)
    with erase.written_over(), transaction.atomic():
        apart = erase.erase(
            family, keep_ledger=given["keep_ledger"], take_out=given.get("take_out", [])
        )
        note(request, What.ERASED, detail.format(n=students))
    sentences = [_("The family is erased; its private links open nothing any more.")]
    if apart:
        kept = _("Its ledger stands under Settings, Data, as “{label}”.")
        sentences.append(kept.format(label=apart.label))
    messages.success(request, " ".join(sentences))


def _renew_backups(request: StudioRequest, old: list[keeping.Backup]) -> None:
    """The old ones go only when a fresh one is there."""
    try:
        fresh = keeping.make(Why.BY_HAND)
    except Trouble as trouble:
        sentence = _("The backups made before are still there. {trouble}")
        messages.error(request, sentence.format(trouble=trouble))
        return
    note(request, What.BACKUP_MADE, fresh.name)
    for backup in old:
        backup.path.unlink(missing_ok=True)
    gone = ngettext("{n} backup made before", "{n} backups made before", len(old))
    note(request, What.ERASED, gone.format(n=len(old)))
    messages.success(request, _("A fresh backup was made, and the ones made before are deleted."))
