"""Signing in and out, and the page that opens a studio."""

from django.contrib import messages
from django.contrib.auth import authenticate, login, logout, update_session_auth_hash
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.models import User
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from studio import language
from studio.access import guesses, throttle, tickets
from studio.access.forms import FirstRunForm, PasswordForm, SettingsForm, SignInForm, StudioForm
from studio.access.limits import BY_ACCOUNT, BY_ADDRESS
from studio.access.middleware import studio_not_required
from studio.access.models import Studio, zone_names
from studio.access.rights import is_this_computer, may_open_studio
from studio.record.models import What
from studio.record.noting import note
from studio.web.forms import answer, posted
from studio.web.http import StudioRequest
from studio.web.speaking import speaking

BACKEND = "studio.access.backend.TeacherBackend"
NO_SUCH = gettext_noop("No studio opens with this e-mail and this password. Capital letters count.")


@login_not_required
@never_cache
@sensitive_post_parameters("password")
@require_http_methods(["GET", "HEAD", "POST"])
def sign_in(request: HttpRequest) -> HttpResponse:
    if request.user.is_authenticated:
        return redirect(_next_page(request))
    if not Studio.objects.exists():
        return redirect("access:first_run")
    if request.method != "POST":
        return _sign_in_page(request, SignInForm())
    form = SignInForm(request.POST, request.FILES)
    if not form.is_valid():
        return _sign_in_page(request, form, status=422)
    email = form.cleaned_data["email"]
    address = request.META.get("REMOTE_ADDR", "")
    wait = throttle.spend("address", address, BY_ADDRESS) or throttle.spend(
        "account", email, BY_ACCOUNT
    )
    if wait:
        form.add_error(None, _too_many(wait))
        return _sign_in_page(request, form, status=429)
    user = authenticate(request, username=email, password=form.cleaned_data["password"])
    if user is None:
        note(
            request,
            What.SIGN_IN_FAILED,
            studio=Studio.objects.filter(owner__username=email).first(),
        )
        form.add_error(None, _(NO_SUCH))
        return _sign_in_page(request, form, status=422)
    throttle.restore("account", email)
    _let_in(request, user)
    return redirect(_next_page(request))


@transaction.atomic
def _let_in(request: HttpRequest, user: User, detail: str = "") -> None:
    login(request, user, backend=BACKEND)
    note(request, What.SIGNED_IN, detail, studio=Studio.objects.filter(owner=user.pk).first())


@studio_not_required
@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    with transaction.atomic():
        note(request, What.SIGNED_OUT)
        logout(request)
    return redirect("access:sign_in")


@login_not_required
@never_cache
@sensitive_post_parameters("password", "password_again")
@require_http_methods(["GET", "HEAD", "POST"])
def first_run(request: HttpRequest) -> HttpResponse:
    if not may_open_studio(request):
        if Studio.objects.exists():
            return redirect("access:sign_in")
        return render(request, "access/elsewhere.html", status=403)
    form = _first_run_form(request)
    if request.method != "POST":
        return _first_run_page(request, form)
    wait = throttle.spend("opening", request.META.get("REMOTE_ADDR", ""), BY_ADDRESS)
    if wait:
        form.add_error(None, _too_many(wait))
        form.errors.pop("email", None)  # whether there is such an account
        return _first_run_page(request, form, status=429)
    if not form.is_valid():
        return _first_run_page(request, form, status=422)
    with transaction.atomic():
        if isinstance(form, FirstRunForm):
            login(request, form.open_studio(), backend=BACKEND)
        else:
            form.save()
        note(request, What.STUDIO_OPENED, studio=form.instance)
    return redirect("/")


@login_not_required
@never_cache
@require_GET
def use_ticket(request: HttpRequest, token: str) -> HttpResponse:
    """Opens the studio for whoever reads the terminal of this very computer."""
    if not is_this_computer(request):
        raise Http404
    owner = tickets.redeem(token)
    if owner is None:
        return render(request, "access/ticket_used.html", status=410)
    _let_in(request, owner, _("by the terminal’s address"))
    return redirect("/")


@require_http_methods(["GET", "HEAD", "POST"])
def settings(request: StudioRequest) -> HttpResponse:
    form = SettingsForm(**posted(request), instance=request.studio)
    if request.method == "POST" and form.is_valid():
        with transaction.atomic():
            form.save()
            note(request, What.SETTINGS_CHANGED, _labels(form))
        with speaking(form.instance):  # from now on
            messages.success(request, _("The settings are kept."))
        return redirect("access:settings")
    if form.errors:
        request.studio.refresh_from_db()  # the page's head shows what is kept, not what was typed
    return render(request, "access/settings.html", {"form": form}, status=answer(form))


@never_cache
@sensitive_post_parameters()
@require_http_methods(["GET", "HEAD", "POST"])
def password(request: StudioRequest) -> HttpResponse:
    form = PasswordForm(request.user, **posted(request))
    if request.method != "POST":
        return _password_page(request, form)
    wait = throttle.spend("password", str(request.user.pk), BY_ACCOUNT)
    if wait:
        form.add_error(None, _too_many(wait))
        return _password_page(request, form, status=429)
    if not form.is_valid():
        if "old_password" in form.errors:
            note(request, What.PASSWORD_REFUSED)
        return _password_page(request, form, status=422)
    throttle.restore("password", str(request.user.pk))
    with transaction.atomic():
        request.user.set_password(form.cleaned_data["password"])
        request.user.save(update_fields=["password"])
        update_session_auth_hash(request, request.user)
        note(request, What.PASSWORD_CHANGED)
    messages.success(request, _("The password is changed. Other devices must sign in again."))
    return redirect("access:settings")


def _labels(form: SettingsForm) -> str:
    """Which questions have a new answer, without the answers."""
    return ", ".join(language.inside(str(form.fields[name].label)) for name in form.changed_data)


def _password_page(request: HttpRequest, form: PasswordForm, status: int = 200) -> HttpResponse:
    return render(request, "access/password.html", {"form": form}, status=status)


def _sign_in_page(request: HttpRequest, form: SignInForm, status: int = 200) -> HttpResponse:
    context = {"form": form, "next": _next_page(request)}
    return render(request, "access/sign_in.html", context, status=status)


def _first_run_form(request: HttpRequest) -> StudioForm:
    initial = guesses.from_language(request.headers.get("Accept-Language", ""))
    initial["zone"] = guesses.zone_of_this_computer()
    if request.user.is_authenticated:
        return StudioForm(**posted(request), initial=initial, instance=Studio(owner=request.user))
    return FirstRunForm(**posted(request), initial=initial)


def _first_run_page(request: HttpRequest, form: StudioForm, status: int = 200) -> HttpResponse:
    zones = sorted(name for name in zone_names() if "/" in name and name[:4] != "Etc/")
    return render(request, "access/first_run.html", {"form": form, "zones": zones}, status=status)


def _next_page(request: HttpRequest) -> str:
    page = request.POST.get("next") or request.GET.get("next") or "/"
    safe = url_has_allowed_host_and_scheme(page, {request.get_host()}, request.is_secure())
    return page if safe and page.startswith("/") else "/"


def _too_many(wait_seconds: int) -> str:
    minutes = -(-wait_seconds // 60)
    return ngettext(
        "Too many tries. The next one is free in a minute.",
        "Too many tries. The next one is free in {minutes} minutes.",
        minutes,
    ).format(minutes=minutes)
