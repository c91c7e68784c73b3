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
  - OldPasswordWrong    not the password that the account has until now
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

from nursery.services.errors.backups import (
    BackupAtTheServer,
    BackupPlaceAnothers,
    BackupPlaceFixed,
    BackupPlaceFull,
    BackupPlaceInside,
    BackupPlaceMissing,
    BackupPlaceNotWritable,
    BackupPlaceRelative,
    BackupPlaceUnfit,
)
from nursery.services.errors.beginning import (
    LanguageUnknown,
    NameUnusable,
    NurseryThere,
    ZoneUnknown,
)
from nursery.services.errors.book import (
    CursorUnreadable,
    EpochChanged,
    Later,
    NobodyWrites,
    NothingToSignWith,
    NotTheirs,
    RecordUnreadable,
    RevisionChanged,
    Unknown,
)
from nursery.services.errors.people import (
    EmailTaken,
    EmailUnreadable,
    EraseYourself,
    InviteEnded,
    LinkEnded,
    LinkEndsTooSoon,
    OldPasswordWrong,
    PasswordCommon,
    PasswordFigures,
    PasswordLikeName,
    PasswordShort,
    PasswordWeak,
    PersonErased,
    SignInRefused,
    SignInShut,
)
from nursery.services.errors.photos import (
    ChecksumDiffers,
    NoRoomForPhotos,
    OffsetDiffers,
    PhotoHeicUnread,
    PhotosAway,
    PhotoTooLarge,
    PhotoUnreadable,
)
from nursery.services.errors.plants import (
    HandoverAltered,
    HandoverUnreadable,
    NothingToHold,
    PlantsThere,
)
from nursery.services.errors.refused import Refused
from nursery.services.errors.telling import (
    CalendarAskedOften,
    PushAddressUnfit,
    PushNotSetUp,
    ReminderSettingUnusable,
)
from nursery.services.errors.weather import WeatherContradicts, WeatherTooLarge, WeatherUnusable

__all__ = [
    "BackupAtTheServer",
    "BackupPlaceAnothers",
    "BackupPlaceFixed",
    "BackupPlaceFull",
    "BackupPlaceInside",
    "BackupPlaceMissing",
    "BackupPlaceNotWritable",
    "BackupPlaceRelative",
    "BackupPlaceUnfit",
    "CalendarAskedOften",
    "ChecksumDiffers",
    "CursorUnreadable",
    "EmailTaken",
    "EmailUnreadable",
    "EpochChanged",
    "EraseYourself",
    "HandoverAltered",
    "HandoverUnreadable",
    "InviteEnded",
    "LanguageUnknown",
    "Later",
    "LinkEnded",
    "LinkEndsTooSoon",
    "NameUnusable",
    "NoRoomForPhotos",
    "NobodyWrites",
    "NotTheirs",
    "NothingToHold",
    "NothingToSignWith",
    "NurseryThere",
    "OffsetDiffers",
    "OldPasswordWrong",
    "PasswordCommon",
    "PasswordFigures",
    "PasswordLikeName",
    "PasswordShort",
    "PasswordWeak",
    "PersonErased",
    "PhotoHeicUnread",
    "PhotoTooLarge",
    "PhotoUnreadable",
    "PhotosAway",
    "PlantsThere",
    "PushAddressUnfit",
    "PushNotSetUp",
    "RecordUnreadable",
    "Refused",
    "ReminderSettingUnusable",
    "RevisionChanged",
    "SignInRefused",
    "SignInShut",
    "Unknown",
    "WeatherContradicts",
    "WeatherTooLarge",
    "WeatherUnusable",
    "ZoneUnknown",
]
