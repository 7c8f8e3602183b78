from studio.running.trouble import Trouble


class BackupTrouble(Trouble):
    """A backup cannot be made, read or put in place; the text says why and what to do."""
