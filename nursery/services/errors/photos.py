"""Of photos on their way."""

from nursery.services.errors.refused import Refused


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
