"""Settings. Every choice a studio can make comes from the environment (STUDIO_…) and is checked."""

from pathlib import Path

from csp.constants import NONE, SELF

from studio.running import data_folder, environment

BASE_DIR = Path(__file__).resolve().parent.parent
DATA_DIR = environment.folder("STUDIO_DATA", BASE_DIR / ".data")

DEBUG = environment.flag("STUDIO_DEBUG")
HTTPS = environment.flag("STUDIO_HTTPS")
SECRET_KEY = environment.secret("STUDIO_SECRET_KEY", least=50) or data_folder.secret_key(DATA_DIR)
# How phones in the house reach this computer, as `manage.py open --lan` finds it out.
HOUSE_ADDRESS = ""
ALLOWED_HOSTS = ["localhost", "127.0.0.1", "[::1]", *environment.names("STUDIO_HOSTS")]
# Whether a second teacher may open a studio of her own in this installation.
MORE_STUDIOS = environment.flag("STUDIO_MORE_STUDIOS")
# Address of the proxy in front, whose X-Forwarded-… headers are then believed.
TRUSTED_PROXY = environment.text("STUDIO_PROXY")

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "csp",
    "django_htmx",
    "studio",
    "practice",
]

# Whether a serving process draws what was asked for, in a thread of its own.
PRINT_BY_ITSELF = True

# Commands by which other apps take part in `manage.py open`: at each start, and for --example.
START_COMMANDS = ["load_catalogue"]
EXAMPLE_COMMAND = "example_studio"

MIDDLEWARE = [
    "studio.web.headers.PrivacyHeadersMiddleware",
    "django.middleware.security.SecurityMiddleware",
    "csp.middleware.CSPMiddleware",
    "studio.web.static.StaticFilesMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "studio.access.middleware.SignInRequiredMiddleware",
    "studio.access.middleware.StudioMiddleware",
]

ROOT_URLCONF = "studio.urls"
WSGI_APPLICATION = "studio.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "builtins": [
                "django.templatetags.i18n",
                "studio.templatetags.language_tags",
            ],
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    }
]

DATABASES = {
    "default": environment.database("STUDIO_DATABASE_URL", DATA_DIR / "studio.sqlite3"),
}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTHENTICATION_BACKENDS = ["studio.access.backend.TeacherBackend"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 10},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "access:sign_in"
LOGIN_REDIRECT_URL = "/"

LANGUAGES = [("en", "English"), ("de", "Deutsch")]  # no words: each in its own language
LANGUAGE_CODE = "en"
LOCALE_PATHS = [BASE_DIR / "studio" / "locale"]
USE_I18N = True
USE_TZ = True
TIME_ZONE = "UTC"

STATIC_URL = "/static/"
STATICFILES_DIRS = [BASE_DIR / "static"]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "studio.web.static.VersionedStaticFiles"},
}
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = DEBUG
WHITENOISE_ALLOW_ALL_ORIGINS = False
# Fonts are named by the stylesheets, without a version; a new cut gets a new file name.
WHITENOISE_IMMUTABLE_FILE_TEST = r"\.woff2$"

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "script-src": [SELF],
        "style-src": [SELF],
        "object-src": [NONE],
        "base-uri": [NONE],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
    }
}
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"

SESSION_ENGINE = "studio.access.sessions"
SESSION_COOKIE_AGE = 60 * 60 * 24 * 30
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = HTTPS
# The prefix has the browser refuse them from a neighbouring name or an unencrypted page.
SESSION_COOKIE_NAME = "__Host-session" if HTTPS else "sessionid"
CSRF_COOKIE_NAME = "__Host-csrf" if HTTPS else "csrftoken"
CSRF_COOKIE_HTTPONLY = True
CSRF_FAILURE_VIEW = "studio.web.errors.csrf_failure"
SECURE_SSL_REDIRECT = HTTPS
SECURE_REDIRECT_EXEMPT = [r"^health/$"]  # asked from this computer, past the proxy
SECURE_HSTS_SECONDS = 60 * 60 * 24 * 365 if HTTPS else 0
# Neither W005 nor W021: a studio must not decide for the other names below its domain.
SILENCED_SYSTEM_CHECKS = ["security.W005", "security.W021"]

DATA_UPLOAD_MAX_MEMORY_SIZE = 6 * 1024 * 1024
DATA_UPLOAD_MAX_NUMBER_FIELDS = 2000

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"private": {"()": "studio.running.logs.PrivateFormatter"}},
    "handlers": {
        "console": {"class": "logging.StreamHandler", "formatter": "private"},
        "file": {
            "()": "studio.running.logs.PrivateFile",
            "path": DATA_DIR / "log" / "studio.log",
            "formatter": "private",
        },
    },
    "root": {"handlers": ["console", "file"], "level": "WARNING"},
    "loggers": {
        "django": {"handlers": ["console", "file"], "level": "WARNING", "propagate": False},
        "django.request": {"level": "ERROR"},  # a form that came back is nobody's fault
        "waitress.queue": {"level": "ERROR"},
    },
}
