"""Who is signed in: the framework's own sessions, and of which account each is.

The settings name this module, and the framework looks for `SessionStore` in it. With the account in
a column of its own, whoever asks for their sessions is answered from their own rows alone, and
nobody else's are read for it.
"""

from typing import Any, cast

from django.contrib.auth import SESSION_KEY
from django.contrib.sessions.backends.db import SessionStore as Rows
from django.contrib.sessions.base_session import AbstractBaseSession
from django.db import models

from nursery.store.models.accounts import Account


class SessionRow(AbstractBaseSession):
    """One session. What else is known of it stands sealed in its data (`services.sessions`)."""

    account = models.ForeignKey(Account, models.CASCADE, null=True)

    class Meta:
        db_table = "session"

    @classmethod
    def get_session_store_class(cls) -> type[Rows]:
        return SessionStore


class SessionStore(Rows):
    """Sessions as the framework keeps them, in our table."""

    @classmethod
    def get_model_class(cls) -> type[SessionRow]:
        return SessionRow

    def create_model_instance(self, data: dict[str, Any]) -> SessionRow:
        row = cast("SessionRow", super().create_model_instance(data))
        account = data.get(SESSION_KEY)
        row.account = None if account is None else Account(pk=int(account))
        return row
