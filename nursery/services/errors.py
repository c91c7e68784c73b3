"""Every way a request can be turned down by a service. What a phone wrote never is.

* Refused
  - CursorUnreadable    a pull from something that is no cursor
  - EpochChanged        a pull from a book that was restored since
  - InviteEnded         a code that is unknown, used or past its end
  - LinkEnded           a link to read by that is unknown, was ended or is past its end
  - LinkEndsTooSoon     a link that would end before it begins
  - SignInRefused       name and password do not belong together
  - SignInShut          too many tries; with the instant when it opens
  - Later               too often, or too many wrong tries; with the instant when it opens
  - NotTheirs           nobody of this nursery may ask for this
  - Unknown             nothing of this name
  - RevisionChanged     somebody else changed the row since it was read
  - PersonErased        only a number is kept of this person, and nothing is typed over it
  - EraseYourself       whoever is signed in cannot erase themselves
  - NameUnusable        a nursery's name that no letter or figure of ours can stand for
  - NurseryThere        a nursery of this name, or any, is begun already
  - ZoneUnknown         no time zone is called so
  - LanguageUnknown     there is no catalogue of this language
  - EmailUnreadable     no address
  - EmailTaken          somebody has an account with this address
  - PasswordWeak        a password that would be guessed
    - PasswordShort, PasswordCommon, PasswordFigures, PasswordLikeName
  - RecordUnreadable    what was written at the desk is no record
  - NobodyWrites        an account that is none of the nursery's people
  - BackupAtTheServer   the operator of a server makes the backups
  - OffsetDiffers       a slice of a photo that does not go on where the last one ended
  - ChecksumDiffers     bytes that are not those that were announced
  - PhotoTooLarge       more bytes than a photo may have, or than were announced
  - NoRoomForPhotos     the office's disk is nearly full; photos wait on their phones
  - PhotoUnreadable     bytes that are no picture, or one of too many dots
  - PhotoHeicUnread     a picture in HEIC where the extra that reads it is not installed
  - PhotosAway          object storage with the photos is not to be reached
  - NothingToHold       a trace of which no plant lives or was planted
  - HandoverUnreadable  a file that is none of plants handed over, and the field
  - HandoverAltered     a file of plants that says something else than was signed
  - PlantsThere         plants that were taken on already
  - WeatherTooLarge     a file of weather with more bytes than are looked at
  - WeatherUnusable     a file of weather with something grave in it; its preview says what
  - WeatherContradicts  a day that the series has with another figure already
  - NothingToSignWith   the installation has no signing key
  - PushNotSetUp        the installation has no key that push services know
  - PushAddressUnfit    no address of a push service, or no keys of a browser
  - CalendarAskedOften  a calendar that is read too often; with the seconds to wait
  - ReminderSettingUnusable  a wish about reminders that cannot be
  - BackupPlace...      a folder that backups cannot go to, and why
"""

from typing import ClassVar

from nursery.domain.errors import Refusal


class Refused(Refusal):
    """A refusal with the HTTP status that it is answered with."""

    status: ClassVar[int] = 400


class CursorUnreadable(Refused):
    code = "cursor_unreadable"

    def __init__(self, text: str) -> None:
        super().__init__(value=text)


class EpochChanged(Refused):
    code = "epoch_changed"
    status = 409

    def __init__(self, theirs: str, ours: str) -> None:
        super().__init__(value=theirs, epoch=ours)


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


class Later(Refused):
    """Too often, or too many wrong tries; `until` is the instant from which on it is answered."""

    code = "later"
    status = 429


class NotTheirs(Refused):
    code = "not_theirs"
    status = 403


class Unknown(Refused):
    code = "unknown"
    status = 404

    def __init__(self, what: str, ident: str) -> None:
        super().__init__(what=what, value=ident)


class NothingToHold(Refused):
    code = "nothing_to_hold"
    status = 422


class HandoverUnreadable(Refused):
    code = "handover_unreadable"
    status = 422


class HandoverAltered(Refused):
    code = "handover_altered"
    status = 422


class PlantsThere(Refused):
    code = "plants_there"
    status = 409


class RevisionChanged(Refused):
    code = "revision_changed"
    status = 409


class PersonErased(Refused):
    code = "person_erased"
    status = 409


class EraseYourself(Refused):
    code = "erase_yourself"
    status = 409


class NameUnusable(Refused):
    code = "name_unusable"
    status = 422


class NurseryThere(Refused):
    code = "nursery_there"
    status = 409


class ZoneUnknown(Refused):
    code = "zone_unknown"
    status = 422


class LanguageUnknown(Refused):
    code = "language_unknown"
    status = 422


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


class RecordUnreadable(Refused):
    code = "record_unreadable"
    status = 422


class NobodyWrites(Refused):
    code = "nobody_writes"
    status = 409


class BackupAtTheServer(Refused):
    code = "backup_at_the_server"
    status = 409


class BackupPlaceUnfit(Refused):
    status = 422


class BackupPlaceFixed(BackupPlaceUnfit):
    code = "backup_place_fixed"


class BackupPlaceRelative(BackupPlaceUnfit):
    code = "backup_place_relative"


class BackupPlaceInside(BackupPlaceUnfit):
    code = "backup_place_inside"


class BackupPlaceMissing(BackupPlaceUnfit):
    code = "backup_place_missing"


class BackupPlaceAnothers(BackupPlaceUnfit):
    code = "backup_place_anothers"


class BackupPlaceFull(BackupPlaceUnfit):
    code = "backup_place_full"


class BackupPlaceNotWritable(BackupPlaceUnfit):
    code = "backup_place_not_writable"


class NothingToSignWith(Refused):
    code = "nothing_to_sign_with"
    status = 409


class OffsetDiffers(Refused):
    code = "offset_differs"
    status = 409


class ChecksumDiffers(Refused):
    code = "checksum_differs"
    status = 460


class PhotoTooLarge(Refused):
    code = "photo_too_large"
    status = 413


class NoRoomForPhotos(Refused):
    code = "photo_quota"
    status = 507


class PhotoUnreadable(Refused):
    code = "photo_unreadable"
    status = 422


class PhotoHeicUnread(Refused):
    code = "photo_heic"
    status = 422


class PhotosAway(Refused):
    code = "photos_away"
    status = 503


class WeatherTooLarge(Refused):
    code = "weather_too_large"
    status = 413

    def __init__(self, size: int, most: int) -> None:
        super().__init__(value=size, most=most)


class WeatherUnusable(Refused):
    code = "weather_unusable"
    status = 422

    def __init__(self, faults: int) -> None:
        super().__init__(n=faults)


class WeatherContradicts(Refused):
    code = "weather_contradicts"
    status = 409

    def __init__(self, on: str, measure: str, kept: float | None, new: float) -> None:
        super().__init__(on=on, measure=measure, kept=kept, value=new)


class PushNotSetUp(Refused):
    code = "push_not_set_up"
    status = 503


class PushAddressUnfit(Refused):
    code = "push_address_unfit"
    status = 422


class CalendarAskedOften(Refused):
    code = "calendar_asked_often"
    status = 429


class ReminderSettingUnusable(Refused):
    code = "reminder_setting_unusable"
    status = 422
