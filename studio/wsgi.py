"""The entry for a WSGI server other than the built-in one."""

import os

from django.conf import settings
from django.core.wsgi import get_wsgi_application

from studio.running import presence

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "studio.settings")

presence.enter(settings.DATA_DIR)
application = get_wsgi_application()
