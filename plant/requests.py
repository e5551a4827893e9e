"""The request of a page behind the log-in, for type checking."""

from typing import cast

from django.http import HttpRequest

from plant.models import User


class UserRequest(HttpRequest):
    """A request whose user is known; LoginRequiredMiddleware sees to that."""

    user: User


def user_of(request: HttpRequest) -> User:
    """The user of a request that Django hands over in its own type."""
    return cast(User, request.user)
