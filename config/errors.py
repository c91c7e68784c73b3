"""Why a command cannot run, in words for the person who typed it.

* CannotRun
  - SettingWrong      a variable that cannot be used as it stands
    - SettingUnknown  a variable with our prefix that nothing reads
  - FolderBusy        another process has the data folder
  - FolderUnusable    a data folder that cannot be made or written
  - PortTaken         another program answers where we should
  - BookNewer         the book was written by a newer version
"""


class CannotRun(Exception):
    """The command ends with this text and the exit code 2."""
