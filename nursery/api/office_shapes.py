"""What the office asks and is answered: beginning, phones, backups, records of the desk."""

from typing import Any

from rest_framework import serializers

from nursery.domain.entry import MOST_SUBJECTS

NAME = r"^[^\s\x00-\x1f\x7f]{1,64}$"


class Start(serializers.Serializer[Any]):
    begun = serializers.BooleanField()
    here = serializers.BooleanField()
    languages = serializers.ListField(child=serializers.CharField())
    zones = serializers.ListField(child=serializers.CharField())


class Begin(serializers.Serializer[Any]):
    name = serializers.CharField(max_length=120)
    zone = serializers.CharField(max_length=64)
    language = serializers.CharField(max_length=8)
    country = serializers.CharField(max_length=80, required=False, allow_blank=True, default="")
    decimal_mark = serializers.ChoiceField([".", ","], required=False, default=".")
    conditions = serializers.BooleanField()
    grower = serializers.CharField(max_length=120)
    email = serializers.CharField(max_length=254)
    password = serializers.CharField(max_length=200, trim_whitespace=False)


class Invite(serializers.Serializer[Any]):
    device_name = serializers.CharField(max_length=120)


class Invited(serializers.Serializer[Any]):
    code = serializers.CharField()
    ends_at = serializers.DateTimeField()
    link = serializers.CharField()
    qr = serializers.CharField()
    for_phones = serializers.BooleanField()


class NewLink(serializers.Serializer[Any]):
    name = serializers.CharField(max_length=120)
    ends_at = serializers.DateTimeField()


class LinkMade(serializers.Serializer[Any]):
    id = serializers.CharField()
    link = serializers.CharField()
    qr = serializers.CharField()
    ends_at = serializers.DateTimeField()


class Secret(serializers.Serializer[Any]):
    secret = serializers.CharField(max_length=100)


class LinkShape(serializers.Serializer[Any]):
    id = serializers.CharField()
    name = serializers.CharField()
    made_at = serializers.DateTimeField()
    ends_at = serializers.DateTimeField()
    ended_at = serializers.DateTimeField(allow_null=True)
    reads = serializers.IntegerField()
    last_read_at = serializers.DateTimeField(allow_null=True)


class Links(serializers.Serializer[Any]):
    items = LinkShape(many=True)


class PageRead(serializers.Serializer[Any]):
    at = serializers.DateTimeField()
    address = serializers.CharField()


class LinkRead(LinkShape):
    pages = PageRead(many=True)


class Phone(serializers.Serializer[Any]):
    id = serializers.CharField()
    name = serializers.CharField()
    joined_at = serializers.DateTimeField()
    revoked_at = serializers.DateTimeField(allow_null=True)
    last_seen_at = serializers.DateTimeField(allow_null=True)
    unsent = serializers.IntegerField()
    photos_unsent = serializers.IntegerField()
    oldest_unsent_at = serializers.DateTimeField(allow_null=True)
    persisted = serializers.BooleanField(allow_null=True)
    app = serializers.CharField(allow_blank=True)
    skew_ms = serializers.IntegerField(allow_null=True)
    missing = serializers.ListField(child=serializers.ListField(child=serializers.IntegerField()))
    silent = serializers.BooleanField()


class Phones(serializers.Serializer[Any]):
    items = Phone(many=True)


class NewPassword(serializers.Serializer[Any]):
    old = serializers.CharField(max_length=200, trim_whitespace=False)
    new = serializers.CharField(max_length=200, trim_whitespace=False)


class DeskShape(serializers.Serializer[Any]):
    id = serializers.CharField()
    since = serializers.DateTimeField()
    used = serializers.DateTimeField()
    this = serializers.BooleanField()


class Desks(serializers.Serializer[Any]):
    items = DeskShape(many=True)


class Record(serializers.Serializer[Any]):
    kind = serializers.CharField(max_length=40)
    about = serializers.ListField(
        child=serializers.RegexField(NAME), min_length=1, max_length=MOST_SUBJECTS
    )
    body = serializers.DictField()


class Written(serializers.Serializer[Any]):
    id = serializers.CharField()


class Folder(serializers.Serializer[Any]):
    folder = serializers.CharField(max_length=1000, allow_blank=True)


class TestedBackup(serializers.Serializer[Any]):
    made_at = serializers.DateTimeField()
    tested_at = serializers.DateTimeField()
    trial_seconds = serializers.FloatField(allow_null=True)
    bytes = serializers.IntegerField()
    file = serializers.CharField()
    folder = serializers.CharField(allow_blank=True)
    lines_after = serializers.IntegerField()
    photos = serializers.IntegerField()
    photos_lacking = serializers.IntegerField()


class BackupPlace(serializers.Serializer[Any]):
    folder = serializers.CharField(allow_blank=True)
    chosen = serializers.BooleanField()
    away = serializers.BooleanField()
    same_disk = serializers.BooleanField()
    free_bytes = serializers.IntegerField(allow_null=True)


class Disk(serializers.Serializer[Any]):
    folder = serializers.CharField()
    free_bytes = serializers.IntegerField(allow_null=True)


class BackupTrouble(serializers.Serializer[Any]):
    code = serializers.CharField()
    why = serializers.CharField(required=False)


class BackupKey(serializers.Serializer[Any]):
    fingerprint = serializers.CharField()
    file = serializers.CharField(allow_blank=True)


class Backup(serializers.Serializer[Any]):
    tested = TestedBackup(allow_null=True)
    making = serializers.DateTimeField(allow_null=True)
    place = BackupPlace()
    disks = Disk(many=True)
    may_choose = serializers.BooleanField()
    may_make = serializers.BooleanField()
    key = BackupKey(allow_null=True)
    trouble = BackupTrouble(many=True)
