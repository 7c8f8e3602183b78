"""What stops the program at its start, told to the person at the terminal."""


class Trouble(Exception):
    """Something the person can mend; the text says what it is and what to do."""
