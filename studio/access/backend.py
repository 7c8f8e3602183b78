"""Password check, and the signed-in teacher with her studio in one query."""

from django.contrib.auth.backends import ModelBackend
from django.contrib.auth.models import User


class TeacherBackend(ModelBackend):
    def get_user(self, user_id: int) -> User | None:
        user = User.objects.select_related("studio").filter(pk=user_id).first()
        return user if user and self.user_can_authenticate(user) else None
