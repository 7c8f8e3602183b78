"""The settings under test: an own data folder, nothing of the developer's own studio."""

import os
import tempfile
from pathlib import Path

_KEPT = {"STUDIO_DATABASE_URL"}
for _name in [name for name in os.environ if name.startswith("STUDIO_") and name not in _KEPT]:
    del os.environ[_name]
# Removed when the process ends.
_folder = tempfile.TemporaryDirectory(prefix="studio-tests-", ignore_cleanup_errors=True)
os.environ["STUDIO_DATA"] = _folder.name
os.environ["STUDIO_SECRET_KEY"] = "only-for-tests-" * 5

from studio.settings import *  # noqa: E402, F403
from studio.settings import DATABASES  # noqa: E402

if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    # A file, not memory: the server under test and the test have a connection each, as in life.
    DATABASES["default"]["TEST"] = {"NAME": Path(_folder.name) / "test.sqlite3"}
PRINT_BY_ITSELF = False
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
