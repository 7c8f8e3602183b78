"""The icon that browsers ask for by themselves, where no page could name it: PDFs, pictures."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.templatetags.static import static
from django.views.decorators.http import require_safe


@login_not_required
@require_safe
def icon(request: HttpRequest) -> HttpResponse:
    return redirect(static("icons/studio.svg"))
