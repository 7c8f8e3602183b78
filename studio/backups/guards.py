"""Backups hold every studio of an installation, so only a teacher who is alone in it sees them."""

from django.http import Http404

from studio.access.rights import is_alone
from studio.backups import archive, keeping
from studio.backups.keeping import Backup
from studio.backups.trouble import BackupTrouble
from studio.web.http import StudioRequest


def alone_or_404(request: StudioRequest) -> None:
    if not is_alone():
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
