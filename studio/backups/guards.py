"""Backups hold every studio of an installation, so only a teacher who is alone in it sees them."""

from django.conf import settings
from django.http import Http404

from studio.access.models import Studio
from studio.backups import archive, keeping
from studio.backups.keeping import Backup
from studio.backups.trouble import BackupTrouble
from studio.web.http import StudioRequest


def is_alone(request: StudioRequest) -> bool:
    """Whether the visitor's studio is the only one here and no second may open."""
    return not settings.MORE_STUDIOS and Studio.objects.count() == 1


def alone_or_404(request: StudioRequest) -> None:
    if not is_alone(request):
        raise Http404


def own_backup(request: StudioRequest, name: str, *, whole: bool = True) -> Backup:
    """One of the folder's files, unless it was made when there were other studios too.

    One that says nothing about itself any more is found only where `whole` is not asked for.
    """
    alone_or_404(request)
    backup = keeping.find(name)
    if backup is None:
        raise Http404
    try:
        others = archive.read_manifest(backup.path).studios > 1
    except BackupTrouble:
        others = whole
    if others:
        raise Http404
    return backup
