"""Why a command cannot run, in words for the person who typed it.

* CannotRun
  - SettingWrong      a variable that cannot be used as it stands
    - SettingUnknown  a variable with our prefix that nothing reads
  - FolderBusy        another process has the data folder
  - FolderUnusable    a data folder that cannot be made or written
  - KeysUnusable      a file among the keys that cannot be read or written
  - NameWrong         a name by which no phone finds this computer
  - AddressKept       another address than the one that phones know
  - AuthorityOther    the authority that phones trust vouches for another name
  - AuthorityEnded    the authority that phones trust is over
  - ClockBehind       the computer's clock shows a time before that authority began
  - CertificateWrong  a given certificate or key that a browser would refuse
  - NotYet            no certificate was made that a phone could trust
  - PortTaken         another program answers where we should
  - BookNewer         the book was written by a newer version
"""


class CannotRun(Exception):
    """The command ends with this text and the exit code 2."""
