"""The page of backups: which there are, one more, one to take away, one to go back to."""

from __future__ import annotations

import shutil
from tempfile import TemporaryFile
from typing import IO, Final

from django.contrib import messages
from django.contrib.auth import logout
from django.http import FileResponse, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from studio.access import throttle
from studio.access.limits import BY_ACCOUNT
from studio.access.rights import is_alone
from studio.backups import keeping, restoring, sealing
from studio.backups.forms import BringForm, ConfirmForm, PassphraseForm
from studio.backups.guards import alone_or_404, own_backup
from studio.backups.keeping import Backup, Why
from studio.record.models import By, What
from studio.record.noting import note, note_everywhere
from studio.running.trouble import Trouble
from studio.web.forms import answer, posted
from studio.web.http import StudioRequest

WORDS: Final = {
    Why.DAILY: _("of the day"),
    Why.BY_HAND: _("made by you"),
    Why.UPGRADE: _("before a new version"),
    Why.RESTORE: _("before a restore"),
    Why.BROUGHT: _("brought here"),
}


@require_GET
def backups(request: StudioRequest) -> HttpResponse:
    return _page(request, BringForm())


def _page(request: StudioRequest, form: BringForm) -> HttpResponse:
    if not is_alone():
        return render(request, "backups/several.html")
    found = keeping.all_backups()
    age = keeping.age_of_last()
    context = {
        "form": form,
        "rows": [{"backup": backup, "why": WORDS[backup.why]} for backup in found],
        "folder": keeping.folder(),
        "old_days": age.days if age and age > keeping.OLD else 0,
        "bytes": sum(backup.bytes for backup in found),
    }
    return render(request, "backups/list.html", context, status=answer(form))


@require_POST
def make(request: StudioRequest) -> HttpResponse:
    alone_or_404(request)
    try:
        made = keeping.make(Why.BY_HAND)
    except Trouble as trouble:
        messages.error(request, str(trouble))
    else:
        note(request, What.BACKUP_MADE, made.name)
        messages.success(request, gettext("A backup was made, read back and found whole."))
    return redirect("backups:list")


@never_cache
@require_GET
def download(request: StudioRequest, name: str) -> HttpResponseBase:
    backup = own_backup(request, name)
    note(request, What.BACKUP_DOWNLOADED, backup.name)
    return FileResponse(backup.path.open("rb"), as_attachment=True, filename=backup.name)


@never_cache
@sensitive_post_parameters("password", "password_again")
@require_http_methods(["GET", "HEAD", "POST"])
def lock(request: StudioRequest, name: str) -> HttpResponseBase:
    """The same file locked with a passphrase, to be carried about."""
    backup = own_backup(request, name)
    form = PassphraseForm(**posted(request), user=request.user)
    if form.is_valid():
        try:
            held = _locked(backup, form.cleaned_data["password"])
        except Trouble as trouble:
            form.add_error(None, str(trouble))
        else:
            said = gettext("{file}, locked with a passphrase").format(file=backup.name)
            note(request, What.BACKUP_DOWNLOADED, said)
            kept_as = f"{backup.name}{sealing.SUFFIX}"
            return FileResponse(held, as_attachment=True, filename=kept_as)
    context = {"form": form, "backup": backup}
    return render(request, "backups/lock.html", context, status=answer(form))


def _locked(backup: Backup, passphrase: str) -> IO[bytes]:
    """A file without a name that goes when it is closed."""
    with keeping.told(), keeping.workshop() as shop:
        locked = keeping.sealed(backup.path, shop, passphrase)
        held = TemporaryFile(dir=keeping.folder())  # noqa: SIM115 (the answer closes it)
        with locked.open("rb") as file:
            shutil.copyfileobj(file, held)
    held.seek(0)
    return held


@sensitive_post_parameters("passphrase")
@require_POST
def bring(request: StudioRequest) -> HttpResponse:
    """Take a file from elsewhere into the list and show what it would change."""
    alone_or_404(request)
    form = BringForm(**posted(request))
    if form.is_valid():
        try:
            pieces = form.cleaned_data["file"].chunks()
            backup = keeping.bring(pieces, form.cleaned_data["passphrase"])
        except sealing.WrongPassphrase as trouble:
            again = gettext("Choose the file again.")
            form.add_error("passphrase", f"{trouble} {again}")
        except Trouble as trouble:
            form.add_error("file", str(trouble))
        else:
            note(request, What.BACKUP_BROUGHT, backup.name)
            return redirect("backups:restore", backup.name)
    return _page(request, form)


@never_cache
@sensitive_post_parameters("old_password")
@require_http_methods(["GET", "HEAD", "POST"])
def restore(request: StudioRequest, name: str) -> HttpResponse:
    """What would change; and, with the password, the change itself."""
    backup = own_backup(request, name, whole=False)
    form = ConfirmForm(**posted(request), user=request.user)
    if request.method != "POST":
        return _restore_page(request, backup, form)
    if throttle.spend("password", str(request.user.pk), BY_ACCOUNT):
        form.add_error(None, gettext("Too many tries. Wait some minutes. Nothing was changed."))
        return _restore_page(request, backup, form, status=429)
    if not form.is_valid():
        note(request, What.PASSWORD_REFUSED, gettext("to restore a backup"))
        return _restore_page(request, backup, form, status=422)
    try:
        safety = restoring.restore(backup.path, at_most_one_studio=True)
    except Trouble as trouble:
        form.add_error(None, str(trouble))
        return _restore_page(request, backup, form, status=422)
    note_everywhere(What.RESTORED, restoring.in_words(backup.path, safety), by=By.TEACHER)
    logout(request)  # the sessions of now went with everything else
    messages.success(
        request,
        gettext(
            "The backup is in place. What was there before stands first among the backups. "
            "Sign in with the password of that day."
        ),
    )
    return redirect("access:sign_in")


def _restore_page(
    request: StudioRequest, backup: Backup, form: ConfirmForm, status: int = 200
) -> HttpResponse:
    context: dict[str, object] = {"form": form}
    try:
        context["preview"] = restoring.preview(backup.path)
    except Trouble as trouble:
        context["trouble"] = str(trouble)
        status = max(status, 422)
    return render(request, "backups/restore.html", context, status=status)
