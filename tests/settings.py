"""The settings under test: an own data folder, no habit of the developer's machine."""

import os
import tempfile

for _name in [name for name in os.environ if name.startswith("STUDIO_")]:
    if _name != "STUDIO_DATABASE_URL":
        del os.environ[_name]
os.environ["STUDIO_DATA"] = tempfile.mkdtemp(prefix="studio-tests-")
os.environ["STUDIO_SECRET_KEY"] = "only-for-tests-" * 5

from studio.settings import *  # noqa: E402, F403

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
