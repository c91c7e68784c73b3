"""Routes of the API, under `/api/v1/`."""

from django.urls import path

from nursery.api import backup, beginning, described, looking, office, paper, phones, reading, sync

urlpatterns = [
    path("sync/enrol", sync.Enrol.as_view()),
    path("sync/push", sync.Push.as_view()),
    path("sync/pull", sync.Pull.as_view()),
    path("sync/check", sync.Check.as_view()),
    path("sync/outlook", sync.Outlook.as_view()),
    path("sync/ping", sync.Ping.as_view()),
    path("sync/rescue", sync.Rescue.as_view()),
    path("begin", beginning.Begin.as_view()),
    path("session", office.Session.as_view()),
    path("rows/<str:kind>", office.Rows.as_view()),
    path("rows/<str:kind>/<str:ident>", office.Row.as_view()),
    path("records", office.Records.as_view()),
    path("invites", phones.Invites.as_view()),
    path("devices", phones.Devices.as_view()),
    path("devices/<str:ident>", phones.Device.as_view()),
    path("batches", reading.Batches.as_view()),
    path("batches/<str:ident>", reading.Batch.as_view()),
    path("places", reading.Places.as_view()),
    path("places/<str:ident>", reading.Place.as_view()),
    path("consignments", reading.Consignments.as_view()),
    path("due", reading.Due.as_view()),
    path("doubts", reading.Doubts.as_view()),
    path("needs-a-look", reading.NeedsALook.as_view()),
    path("set-aside/<str:ident>", looking.SetAside.as_view()),
    path("kept-raw/<str:ref>", looking.KeptRaw.as_view()),
    path("backup", backup.Backup.as_view()),
    path("backup/place", backup.Place.as_view()),
    path("labels", paper.Labels.as_view()),
    path("schema", described.Description.as_view()),
]
