"""The entry for a WSGI server other than the built-in one."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "studio.settings")

application = get_wsgi_application()
