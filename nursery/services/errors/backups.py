"""Of backups and where they go."""

from nursery.services.errors.refused import Refused


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
