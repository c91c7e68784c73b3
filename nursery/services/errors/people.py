"""Of people, their accounts, links and codes."""

from nursery.services.errors.refused import Refused


class InviteEnded(Refused):
    code = "invite_ended"
    status = 403


class LinkEnded(Refused):
    code = "link_ended"
    status = 403


class LinkEndsTooSoon(Refused):
    code = "link_ends_too_soon"
    status = 422


class SignInRefused(Refused):
    code = "sign_in_refused"
    status = 403


class SignInShut(Refused):
    code = "sign_in_shut"
    status = 429


class OldPasswordWrong(Refused):
    code = "old_password_wrong"
    status = 403


class PersonErased(Refused):
    code = "person_erased"
    status = 409


class EraseYourself(Refused):
    code = "erase_yourself"
    status = 409


class EmailUnreadable(Refused):
    code = "email_unreadable"
    status = 422


class EmailTaken(Refused):
    code = "email_taken"
    status = 409


class PasswordWeak(Refused):
    status = 422


class PasswordShort(PasswordWeak):
    code = "password_short"


class PasswordCommon(PasswordWeak):
    code = "password_common"


class PasswordFigures(PasswordWeak):
    code = "password_figures"


class PasswordLikeName(PasswordWeak):
    code = "password_like_name"
